"""Settings of a camera that make a light enough."""

from __future__ import annotations

import math
from typing import Final

from render.camera.exposure import BASE_ISO, Exposure
from render.camera.steps import SAME, THIRDS, f_number_name, iso_name, shutter_name, step_value
from scenes.arrangement.arrangement import CameraModel

NOMINAL: Final[float] = 2 ** (1 / (2 * THIRDS))
"""Ratio by which a step may lie beyond the nominal value of the greatest: half of a third of a stop."""


def enough_settings(camera: CameraModel, exposure: Exposure, share: float, *, by_hand: bool) -> list[str]:
    """Return the shutter, the ISO and the f-number that would each by itself be enough, by name, where a camera has it.

    Shutter and ISO are the next third of a stop that is enough; by hand the shutter opens no longer.

    Parameters
    ----------
    share
        Of the light that the exposure needs, that there is: under 1.
    """
    body, f_number = camera.body, exposure.f_number * share**0.5
    shutter_s = _next_step(exposure.shutter_s / share, 1.0)
    iso = _next_step(exposure.iso / share, BASE_ISO)
    ways = [shutter_name(shutter_s)] if not by_hand and _reaches(body.shutters_s, shutter_s) else []
    ways += [iso_name(iso)] if _reaches(body.isos, iso) else []
    return ways + ([f_number_name(f_number)] if body.accepts(f_number) else [])


def _next_step(value: float, unit: float) -> float:
    """Return the least step that is no smaller than a value, but for rounding."""
    return step_value(math.ceil(THIRDS * math.log2(value / unit) - SAME), unit)


def _reaches(span: tuple[float, float], value: float) -> bool:
    return span[0] / NOMINAL <= value <= span[1] * NOMINAL
