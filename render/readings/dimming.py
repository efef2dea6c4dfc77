"""Dimmers solved for the lighting ratios of a setup, from the illuminance at the hero by each lamp undimmed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.units import stops

from .metering import solve_dimmer

TOLERANCE_STOPS = 0.1


def with_solved_dimmers(setup: PlacedSetup, full_lux: Sequence[float] | NDArray[np.float64]) -> PlacedSetup:
    """Return the setup with its dimmers solved; a ratio that a lamp cannot reach is added to its `shortfalls`.

    No `stops_under_key` is left: where a lamp has one, its dimmer is still to be solved.
    `full_lux` is the illuminance at the hero, lx, by each lamp undimmed, then by the room if it gives light. The key is
    the first lamp.
    """
    full_lux = [float(lux) for lux in full_lux]
    key_lux = full_lux[0] * setup.lamps[0].dimmer
    lamps, shortfalls = [], []
    for lamp, lux in zip(setup.lamps, full_lux, strict=False):
        wanted = lamp.stops_under_key
        dimmer = lamp.dimmer if wanted is None else solve_dimmer(wanted, key_lux, lux)
        if not lamp.lamp.model.dimmable:
            dimmer = lamp.lamp.model.dimmer
        lamps.append(replace(lamp, dimmer=dimmer, stops_under_key=None))
        if wanted is not None and lux > 0 and key_lux > 0:
            shortfalls += _shortfalls(lamp, wanted, stops(key_lux / (lux * dimmer)))
    return replace(setup, lamps=tuple(lamps), shortfalls=(*setup.shortfalls, *shortfalls))


def _shortfalls(lamp: PlacedLamp, wanted: float, got: float) -> list[str]:
    if abs(got - wanted) < TOLERANCE_STOPS:
        return []
    why = "is too weak" if got > wanted else "does not dim"
    return [f"wants the {lamp.role} {wanted:g} stops under the key: {lamp.name} {why} and is {_under(got)}"]


def _under(got: float) -> str:
    return f"{got:.1f} under" if got >= 0 else f"{-got:.1f} over"
