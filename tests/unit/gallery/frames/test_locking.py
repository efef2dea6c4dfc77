"""Which frames of a sheet have one exposure and one white balance."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gallery.frames.exposure_scope import ExposureScope
from gallery.frames.locking import lock_exposures, shares_exposures
from render.camera.exposure import Exposure
from render.camera.locked_exposure import LockedExposure, WhitePoint
from tests.support.sheets.frames import unlit_frame

SETUPS = ("loop", "loop", "rim", "rim")
SHOTS = [unlit_frame(setup).shot for setup in SETUPS]
SECONDS = (1 / 60, 1 / 125, 1 / 15, 1 / 30)
WHITES = [WhitePoint(np.ones(3), kelvin) for kelvin in (3000.0, 3100.0, 5000.0, 5100.0)]
METERED = [
    LockedExposure(Exposure(seconds, 50, 1.7, 0.1 * i), white)
    for i, (seconds, white) in enumerate(zip(SECONDS, WHITES, strict=True))
]


@pytest.mark.parametrize(
    ("scope", "seconds", "whites"),
    [
        (ExposureScope.frame, SECONDS, [0, 1, 2, 3]),
        (ExposureScope.setup, (1 / 125, 1 / 125, 1 / 30, 1 / 30), [0, 0, 2, 2]),
        (ExposureScope.sheet, (1 / 125,) * 4, [0, 0, 2, 2]),
    ],
)
def test_the_shortest_exposure_of_the_scope_is_locked_and_the_white_balance_of_a_setup(
    scope: ExposureScope, seconds: tuple[float, ...], whites: list[int]
) -> None:
    locked = lock_exposures(scope, SHOTS, METERED)
    assert tuple(each.exposure.shutter_s for each in locked) == seconds
    assert [each.white for each in locked] == [WHITES[i] for i in whites]


@pytest.mark.parametrize("scope", ExposureScope)
def test_every_frame_keeps_its_own_focus(scope: ExposureScope) -> None:
    locked = lock_exposures(scope, SHOTS, METERED)
    assert [each.exposure.magnification for each in locked] == [each.exposure.magnification for each in METERED]


def test_frames_are_metered_together_only_where_two_share_an_exposure() -> None:
    one_finish = SHOTS[::2]
    assert [shares_exposures(scope, one_finish) for scope in ExposureScope] == [False, False, True]
    assert [shares_exposures(scope, SHOTS) for scope in ExposureScope] == [False, True, True]
    assert not any(shares_exposures(scope, SHOTS[:1]) for scope in ExposureScope)


def test_what_would_mend_the_locked_exposure_is_said_of_all_and_of_no_other() -> None:
    weak = replace(METERED[0], exposure=Exposure(1 / 250, 50, 1.7), remedy="more light")
    locked = lock_exposures(ExposureScope.setup, SHOTS, [weak, *METERED[1:]])
    assert [each.remedy for each in locked] == ["more light", "more light", None, None]
