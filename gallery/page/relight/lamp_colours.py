"""The colour temperatures that a lamp is shown at, and its light at each."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from materials.light.led import best_ra
from render.description.lit_emitter import LitEmitter
from scenes.lamps.light_source import spectrum_of

BULBS_K: Final = (2000.0, 6500.0)
"""From the warmest bulb for the home to daylight (common practice, no source)."""
ANCHORS_K: Final = (2500.0, 6500.0)
"""Of which the farther from a lamp's own is the second that its light is pictured at."""
STEP_MIRED: Final = 20.0
"""Between the temperatures at which a lamp's light is tabulated."""


def kelvin_range(emitter: LitEmitter) -> tuple[float, float] | None:
    """Return the colour temperatures that a lamp is shown at, K: those that its dial or other lamps of its kind have.

    None where its spectrum is a named illuminant or measured, where no other is possible, and of the room.
    """
    if emitter.lamp is None:
        return None
    model, source = emitter.lamp.lamp.model, emitter.lamp.lamp.source
    if model.kelvin_range is not None:
        return model.kelvin_range
    if source.kind == "named" or model.spectrum == "A":
        return None
    least, most = min(BULBS_K[0], model.kelvin), max(BULBS_K[1], model.kelvin)
    if (ra := source.ra) is not None:
        possible = [model.kelvin, *(kelvin for kelvin in _between(least, most) if best_ra(kelvin) >= ra)]
        least, most = min(possible), max(possible)
    return (least, most) if least < most else None


def tabulated_kelvins(emitter: LitEmitter) -> list[float]:
    """Return the colour temperatures at which a lamp's light is tabulated, its own among them, rising; else none."""
    reach = kelvin_range(emitter)
    return sorted({emitter.lamp.lamp.model.kelvin, *_between(*reach)}) if emitter.lamp and reach else []


def second_anchor(emitter: LitEmitter) -> float | None:
    """Return the colour temperature beside its own at which a lamp is pictured, K; None of one that keeps its own."""
    reach = kelvin_range(emitter)
    if emitter.lamp is None or reach is None:
        return None
    model = emitter.lamp.lamp.model
    if model.kelvin_range is None:
        reach = max(reach[0], ANCHORS_K[0]), min(reach[1], ANCHORS_K[1])
    return max(reach, key=lambda kelvin: abs(1e6 / kelvin - 1e6 / model.kelvin))


def at_kelvin(emitter: LitEmitter, kelvin: float | None) -> LitEmitter:
    """Return a lamp's emitter as if the lamp were of another colour temperature, None its own, and as many lumens."""
    if emitter.lamp is None or kelvin is None:
        return emitter
    lamp = emitter.lamp.lamp
    spectrum = spectrum_of(lamp.model.model_copy(update={"kelvin": kelvin}))
    return replace(emitter, radiance=spectrum * lamp.lumens / emitter.shape.etendue)


def _between(least: float, most: float) -> list[float]:
    """Return both ends and what lies evenly between them in mired, K."""
    count = int(np.ceil((1e6 / least - 1e6 / most) / STEP_MIRED)) + 1
    inner = 1e6 / np.linspace(1e6 / least, 1e6 / most, count)[1:-1]
    return [least, *(float(kelvin) for kelvin in inner), most]
