"""What is the same in all frames of a strip: dimmers, exposure, white balance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from render.camera.locked_exposure import LockedExposure, WhitePoint, bracket_exposures, shortest_exposure
from render.shot import Shot
from scenes.setups.placed import PlacedLamp, PlacedSetup

from .variation import Strip


def lock_dimmers(strip: Strip, solved: PlacedSetup) -> Strip:
    """Return the strip with the dimmers that its setup asks to be solved, solved once for the arrangement unchanged.

    `solved` is the setup of that arrangement with its dimmers solved. A ratio that is varied is left to each shot.
    """
    declared = strip.base.setup
    lacks = solved.shortfalls[len(declared.shortfalls) :]

    def with_solved(shot: Shot) -> Shot:
        rows = zip(shot.setup.lamps, declared.lamps, solved.lamps, strict=True)
        lamps = tuple(_locked(lamp, before, after) for lamp, before, after in rows)
        own = lacks if lamps == solved.lamps else ()  # of other light they are not true
        return replace(shot, setup=replace(shot.setup, lamps=lamps, shortfalls=(*shot.setup.shortfalls, *own)))

    return replace(strip, base=with_solved(strip.base), shots=tuple(map(with_solved, strip.shots)))


def _locked(lamp: PlacedLamp, declared: PlacedLamp, solved: PlacedLamp) -> PlacedLamp:
    """Return a lamp of a frame dimmed as solved; where no ratio dims it, by the factor that solving dimmed it by."""
    if lamp.stops_under_key != declared.stops_under_key:
        return lamp
    if declared.stops_under_key is not None or declared.sheet_over_white is not None:
        return replace(lamp, dimmer=solved.dimmer, stops_under_key=None, sheet_over_white=None)
    factor = solved.dimmer / declared.dimmer if declared.dimmer > 0 else 1.0
    return replace(lamp, dimmer=factor * lamp.dimmer)


def lock_exposures(strip: Strip, metered: Sequence[LockedExposure], white: WhitePoint) -> list[LockedExposure]:
    """Return the exposure and white balance that each frame is developed with.

    A varied setting differs between frames, and each has its own exposure where another key of the camera is varied;
    all else is the same in all: the white balance is `white`, the exposure is the one that the arrangement fixes, else
    the shortest of those metered. Where the metered light is the same in all,
    as of finishes, that is the exposure of the arrangement unchanged.
    """
    if strip.field.setting is not None:
        values = [float(value) for value in strip.field.values]
        exposures = bracket_exposures(metered[0].exposure, strip.field.setting, values, _is_fixed(strip))
        locked = [LockedExposure(exposure, white) for exposure in exposures]
    else:
        own = _is_fixed(strip) or strip.field.steps[0] == "camera"
        locked = list(metered) if own else [shortest_exposure(metered)] * len(metered)
    whites = [own.white if strip.field.key == "white_balance" else white for own in metered]
    return [replace(each, white=kept) for each, kept in zip(locked, whites, strict=True)]


def _is_fixed(strip: Strip) -> bool:
    return strip.base.camera.shutter_s is not None
