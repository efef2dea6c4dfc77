"""Dimmers solved for the lighting ratios of a setup, and for a sheet that is to be white."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.units import ratio, stops

from .sheet_dimming import LEAST_OTHERS, SheetLight, solve_sheet

TOLERANCE_STOPS = 0.1


def solve_dimmer(wanted_stops_under_key: float, key_lux: float, full_lux: float) -> float:
    """Return the dimmer, at most 1, at which a lamp of `full_lux` undimmed is so many stops under `key_lux`."""
    return min(1.0, key_lux / ratio(wanted_stops_under_key) / full_lux) if full_lux > 0 else 1.0


def with_solved_dimmers(setup: PlacedSetup, facing_lux: Sequence[float] | NDArray[np.float64]) -> PlacedSetup:
    """Return the setup with its dimmers solved; a ratio that a lamp cannot reach is added to its `shortfalls`.

    No `stops_under_key` is left: where a lamp has one, its dimmer is still to be solved.
    `facing_lux` is the illuminance by each lamp alone and undimmed at the hero, on the receptor that faces it, lx.
    """
    key = setup.reference_lamp
    key_lux = float(facing_lux[setup.reference]) * key.dimmer
    lamps, shortfalls = [], []
    for lamp, full in zip(setup.lamps, map(float, facing_lux), strict=True):
        wanted = lamp.stops_under_key
        dimmer = lamp.dimmer if wanted is None else solve_dimmer(wanted, key_lux, full)
        if not lamp.lamp.model.dimmable:
            dimmer = lamp.lamp.model.dimmer
        lamps.append(replace(lamp, dimmer=dimmer, stops_under_key=None))
        if wanted is not None and full > 0 and key_lux > 0:
            shortfalls += _ratio_shortfalls(lamp, key.role, wanted, stops(key_lux / (full * dimmer)))
    return _with_lacks(replace(setup, lamps=tuple(lamps)), shortfalls)


def with_sheet_dimmed(setup: PlacedSetup, light: SheetLight) -> PlacedSetup:
    """Return the setup with the lamps on its sheet dimmed, and the others too where those are too weak.

    No `sheet_over_white` is left. Where not even that makes the sheet as bright as wanted, it is said. Where the frame
    shows no sheet, its lamps are off.
    """
    on_sheet = [lamp for lamp in setup.lamps if lamp.sheet_over_white is not None]
    others = [lamp for lamp in setup.lamps if lamp.sheet_over_white is None]
    wanted = on_sheet[0].sheet_over_white or 0.0
    sheet_factor, others_factor = solve_sheet(
        light,
        wanted,
        least_sheet=0.0 if _dimmable(on_sheet) else 1.0,
        least_others=LEAST_OTHERS if _dimmable(others) else 1.0,
    )
    factors = [others_factor if lamp.sheet_over_white is None else sheet_factor for lamp in setup.lamps]
    lamps = tuple(
        replace(lamp, dimmer=factor * lamp.dimmer, sheet_over_white=None)
        for lamp, factor in zip(setup.lamps, factors, strict=True)
    )
    got = light.over_white(sheet_factor, others_factor)
    under = stops(wanted / got) if got > 0 else np.inf
    lack = f"wants its sheet {wanted:g} times white: {on_sheet[0].name} is too weak and it is {under:.1f} stops darker"
    return _with_lacks(replace(setup, lamps=lamps), [lack] if under > TOLERANCE_STOPS else [])


def _with_lacks(setup: PlacedSetup, lacks: Sequence[str]) -> PlacedSetup:
    """Return the setup with sentences on ratios that its lamps do not reach added."""
    return replace(setup, shortfalls=(*setup.shortfalls, *lacks), reaches_ratios=setup.reaches_ratios and not lacks)


def _dimmable(lamps: Sequence[PlacedLamp]) -> bool:
    return all(lamp.lamp.model.dimmable for lamp in lamps)


def _ratio_shortfalls(lamp: PlacedLamp, key: str, wanted: float, got: float) -> list[str]:
    if abs(got - wanted) < TOLERANCE_STOPS:
        return []
    why = "is too weak" if got > wanted else "does not dim"
    return [f"wants the {lamp.role} {_wanted_words(wanted, key)}: {lamp.name} {why} and is {_under(got)}"]


def _wanted_words(stops_under: float, key: str) -> str:
    return f"{stops_under:g} stops under the {key}" if stops_under else f"as bright as the {key}"


def _under(got: float) -> str:
    return f"{got:.1f} under" if got >= 0 else f"{-got:.1f} over"
