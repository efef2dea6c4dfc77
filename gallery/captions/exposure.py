"""Exposures in a few characters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from render.camera.exposure import Exposure
from render.camera.steps import f_number_name, iso_name, shutter_name
from render.frame import Frame

NEAR: Final = 0.05
"""Magnification from which the effective f-number is named: a seventh of a stop."""


def exposure_caption(frame: Frame) -> str:
    """Return the camera's settings: `1/80 s  f/8  ISO 100  4000 K`."""
    exposure, kelvin = frame.exposure, frame.white_balance_kelvin
    white = "coloured light" if kelvin is None else f"{kelvin:.0f} K"
    return f"{settings_caption(exposure)}  {white}"


def settings_caption(exposure: Exposure) -> str:
    """Return shutter, f-number and ISO: `1/80 s  f/8  ISO 100`."""
    return f"{shutter_name(exposure.shutter_s)}  {aperture_name(exposure)}  {iso_name(exposure.iso)}"


def aperture_name(exposure: Exposure) -> str:
    """Return the f-number, with the effective one where the subject is near: `f/8 (f/11.3 effective)`."""
    name = f_number_name(exposure.f_number)
    return f"{name} (f/{exposure.effective_f_number:.1f} effective)" if exposure.magnification > NEAR else name


def shared_exposure_words(frames: Sequence[Frame]) -> str:
    """Return which frames of a sheet have one exposure: `one exposure in all frames: 1/80 s  f/8  ISO 100`."""
    exposures = [frame.exposure for frame in frames]
    if len({(each.shutter_s, each.f_number, each.iso) for each in exposures}) == 1:
        return f"one exposure in all frames: {settings_caption(replace(exposures[0], magnification=0.0))}"
    setups = {frame.setup.name for frame in frames}
    if len({(frame.setup.name, frame.exposure) for frame in frames}) == len(setups) < len(frames):
        return "one exposure in all finishes of a setup"
    return "each frame has its own exposure"
