"""What is the same in all frames of a strip."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gallery.strip.field import read_field
from gallery.strip.locking import lock_dimmers, lock_exposures
from gallery.strip.variation import Strip
from render.camera.exposure import Exposure
from render.camera.locked_exposure import LockedExposure, WhitePoint
from render.readings.dimming import with_solved_dimmers
from tests.support.sheets.strips import strip

WHITE = WhitePoint(np.ones(3), 4000.0)


def solved(taken: Strip, facing_lux: list[float]) -> Strip:
    return lock_dimmers(taken, with_solved_dimmers(taken.base.setup, facing_lux))


def test_dimmers_of_ratios_are_held_as_they_are_solved_for_the_arrangement_and_a_varied_ratio_is_not() -> None:
    taken = solved(strip("lamps.key.dimmer=1,0.5", "three-point"), [1000.0, 500.0, 100.0])
    assert [[lamp.dimmer for lamp in shot.setup.lamps[:2]] for shot in taken.shots] == [[1.0, 0.5], [0.5, 0.5]]
    assert all(lamp.stops_under_key is None for shot in taken.shots for lamp in shot.setup.lamps)
    free = solved(strip("lamps.fill.stops_under_key=1,3", "three-point"), [1000.0, 500.0, 100.0])
    assert [shot.setup.lamps[1].stops_under_key for shot in free.shots] == [1, 3]


def test_what_a_ratio_lacks_is_said_of_the_frames_whose_lamps_are_as_solved() -> None:
    weak = [1000.0, 50.0, 100.0]  # the fill is 4.3 stops under the key at full
    dimmed = solved(strip("lamps.fill.dimmer=0,1", "three-point"), weak)
    lack = "wants the fill 2 stops under the key: low is too weak and is 4.3 under"
    assert [lack in shot.setup.shortfalls for shot in dimmed.shots] == [False, True]
    finished = solved(strip("finish=matt,gloss", "three-point"), weak)
    assert [lack in shot.setup.shortfalls for shot in finished.shots] == [True, True]


def test_what_a_white_sheet_dimmed_is_held_over_a_dimmer_of_the_key() -> None:
    taken = strip("lamps.key.dimmer=1,0.5", "high-key")
    key, backdrop = taken.base.setup.lamps
    wanting = replace(backdrop, sheet_over_white=1.1)
    base = replace(taken.base, setup=replace(taken.base.setup, lamps=(key, wanting)))
    shots = tuple(
        replace(shot, setup=replace(shot.setup, lamps=(shot.setup.lamps[0], wanting))) for shot in taken.shots
    )
    after = (replace(key, dimmer=0.8), replace(backdrop, dimmer=0.3, sheet_over_white=None))
    kept = lock_dimmers(replace(taken, base=base, shots=shots), replace(base.setup, lamps=after))
    dimmers = [[lamp.dimmer for lamp in shot.setup.lamps] for shot in kept.shots]
    assert dimmers == [[0.8, 0.3], [0.4, 0.3]]
    assert all(lamp.sheet_over_white is None for shot in kept.shots for lamp in shot.setup.lamps)


def test_where_a_key_of_the_camera_is_varied_each_frame_has_its_own_exposure() -> None:
    taken = strip("camera.stops=0,1")
    own = [LockedExposure(Exposure(1 / t, 50, 1.7), WHITE) for t in (30, 15)]
    assert [each.exposure for each in lock_exposures(taken, own, WHITE)] == [each.exposure for each in own]


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
