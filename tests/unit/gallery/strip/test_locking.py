"""What is the same in all frames of a strip."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gallery.strip.field import read_field
from gallery.strip.locking import lock_dimmers, lock_exposures
from render.camera.exposure import Exposure
from render.camera.locked_exposure import LockedExposure, WhitePoint
from tests.support.strips import strip

WHITE = WhitePoint(np.ones(3), 4000.0)


def test_dimmers_of_ratios_are_held_as_they_are_solved_for_the_arrangement_and_a_varied_ratio_is_not() -> None:
    taken = lock_dimmers(strip("lamps.key.dimmer=1,0.5", "three-point"), [1000.0, 500.0, 100.0])
    assert [[lamp.dimmer for lamp in shot.setup.lamps[:2]] for shot in taken.shots] == [[1.0, 0.5], [0.5, 0.5]]
    assert all(lamp.stops_under_key is None for shot in taken.shots for lamp in shot.setup.lamps)
    free = lock_dimmers(strip("lamps.fill.stops_under_key=1,3", "three-point"), [1000.0, 500.0, 100.0])
    assert [shot.setup.lamps[1].stops_under_key for shot in free.shots] == [1, 3]


def test_the_exposure_of_the_frame_that_needs_least_and_one_white_balance_are_held() -> None:
    taken = strip("lamps.key.dimmer=1,0.5")
    exposures = [Exposure(1 / 60, 50, 1.8), Exposure(1 / 30, 50, 1.8)]
    wanted = [
        LockedExposure(exposure, WhitePoint(np.ones(3), kelvin))
        for exposure, kelvin in zip(exposures, (3000, 5000), strict=True)
    ]
    kept = lock_exposures(taken, wanted, WHITE)
    assert [each.exposure for each in kept] == [exposures[0]] * 2
    assert all(each.white is WHITE for each in kept)
    own = lock_exposures(replace(taken, field=read_field("camera.white_balance=3000,5000")), wanted, WHITE)
    assert [each.white.kelvin for each in own] == [3000, 5000]


def test_a_setting_that_is_varied_moves_and_the_others_are_held() -> None:
    taken = strip("camera.iso=100,400")
    wanted = [LockedExposure(Exposure(1 / 30, 50, 1.8), WHITE)] * 2
    exposures = [each.exposure for each in lock_exposures(taken, wanted, WHITE)]
    assert [exposure.iso for exposure in exposures] == [100, 400]
    assert exposures[0].shutter_s == exposures[1].shutter_s == pytest.approx(1 / 240)


def test_an_exposure_that_the_arrangement_fixes_is_the_one_that_is_held() -> None:
    taken = strip("camera.f_number=4,8", camera={"kind": "camera", "shutter_s": 0.5, "iso": 100})
    wanted = [LockedExposure(Exposure(0.5, 100, shot.camera.f_number or 0), WHITE) for shot in taken.shots]
    assert [each.exposure for each in lock_exposures(taken, wanted, WHITE)] == [
        Exposure(0.5, 100, 4),
        Exposure(0.5, 100, 8),
    ]
