"""What is the same in all frames of a strip: dimmers, exposure, white balance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from render.camera.locked_exposure import LockedExposure, WhitePoint, bracket_exposures, shortest_exposure
from render.readings.dimming import with_solved_dimmers
from render.shot import Shot

from .variation import Strip


def lock_dimmers(strip: Strip, full_lux: Sequence[float]) -> Strip:
    """Return the strip with the dimmers that its setup's ratios ask for solved once, for the arrangement unchanged.

    `full_lux` is the illuminance of each lamp there at the hero, undimmed. A ratio that is varied is left to each shot.
    """
    declared = strip.base.setup
    solved = with_solved_dimmers(declared, full_lux)
    shortfalls = solved.shortfalls[len(declared.shortfalls) :]
    ratios = [lamp.stops_under_key for lamp in declared.lamps]

    def with_solved(shot: Shot) -> Shot:
        lamps = tuple(
            replace(lamp, dimmer=known.dimmer, stops_under_key=None)
            if ratio is not None and lamp.stops_under_key == ratio
            else lamp
            for lamp, known, ratio in zip(shot.setup.lamps, solved.lamps, ratios, strict=True)
        )
        return replace(shot, setup=replace(shot.setup, lamps=lamps, shortfalls=(*shot.setup.shortfalls, *shortfalls)))

    return replace(strip, base=with_solved(strip.base), shots=tuple(map(with_solved, strip.shots)))


def lock_exposures(strip: Strip, metered: Sequence[LockedExposure], white: WhitePoint) -> list[LockedExposure]:
    """Return the exposure and white balance that each frame is developed with.

    A varied setting differs between frames; all else is the same in all: the white balance is `white`, the exposure is
    the one that the arrangement fixes, else the shortest of those metered.
    """
    whites = [own.white if strip.field.key == "white_balance" else white for own in metered]
    fixed = strip.base.camera.shutter_s is not None
    own = [each.exposure for each in metered]
    if strip.field.setting is not None:
        values = [float(value) for value in strip.field.values]
        exposures = bracket_exposures(own[0], strip.field.setting, values, fixed)
    else:
        exposures = own if fixed else [shortest_exposure(own)] * len(own)
    return [LockedExposure(exposure, kept) for exposure, kept in zip(exposures, whites, strict=True)]
