"""Exposure and white balance, locked across frames that are to be compared."""

from __future__ import annotations

from itertools import pairwise

import pytest

from materials.light.spectra import blackbody, xyz
from render.camera.exposure import Exposure
from render.camera.locked_exposure import (
    LockedExposure,
    WhitePoint,
    bracket_exposures,
    shortest_exposure,
    white_point,
)
from scenes.arrangement.arrangement import CameraModel
from scenes.arrangement.reading import fill_model

METERED = Exposure(1 / 30, 50, 1.8)


def test_the_least_exposure_is_the_one_that_takes_most_light_to_be_white() -> None:
    white = WhitePoint(xyz(blackbody(4000)), 4000.0)
    short, long = Exposure(1 / 125, 50, 1.8), Exposure(1 / 8, 50, 1.8)
    metered = [LockedExposure(exposure, white) for exposure in (METERED, long, short)]
    assert shortest_exposure(metered).exposure == short


@pytest.mark.parametrize(
    ("setting", "values", "step"),
    [("f_number", (8.0, 11.314, 16.0), -1), ("iso", (50, 100, 200), 1), ("shutter_s", (1 / 8, 1 / 4, 1 / 2), 1)],
)
def test_of_a_varied_setting_the_one_that_lets_in_most_is_as_metered_and_the_rest_go_by_stops(
    setting: str, values: tuple[float, ...], step: int
) -> None:
    taken = bracket_exposures(METERED, setting, values, fixed=False)
    assert [getattr(exposure, setting) for exposure in taken] == list(values)
    assert min(exposure.ev100 for exposure in taken) == pytest.approx(METERED.ev100)
    for one, other in pairwise(taken):
        assert one.ev100 - other.ev100 == pytest.approx(step, abs=1e-3)


def test_with_fixed_settings_a_varied_one_is_not_made_up_for() -> None:
    assert bracket_exposures(METERED, "f_number", (4.0, 8.0), fixed=True) == [
        Exposure(1 / 30, 50, n) for n in (4.0, 8.0)
    ]


def test_a_fixed_white_balance_is_the_arrangements_and_an_automatic_one_the_light_of_the_lamps() -> None:
    warm, cold = blackbody(2700), blackbody(6500)
    fixed = white_point(fill_model({"white_balance": 5000}, CameraModel, "test"), [warm], [1.0])
    assert fixed.kelvin == 5000
    assert fixed.xyz == pytest.approx(xyz(blackbody(5000)))
    automatic = fill_model({}, CameraModel, "test")
    assert white_point(automatic, [warm, cold], [1.0, 0.0]).kelvin == pytest.approx(2700, abs=2)
    assert 2700 < (white_point(automatic, [warm, cold], [1.0, 1.0]).kelvin or 0) < 6500
    assert white_point(automatic, [warm, cold], [0.0, 0.0]).kelvin is not None


def test_the_white_balance_may_be_a_chromaticity() -> None:
    camera = fill_model({"white_balance": [0.31271, 0.32902]}, CameraModel, "test")  # of D65 (CIE 15:2018)
    white = white_point(camera, [blackbody(2700)], [1.0])
    assert white.xyz == pytest.approx([0.95047, 1.0, 1.08883], abs=1e-4)
    assert white.kelvin == pytest.approx(6504, abs=3)
    green = fill_model({"white_balance": [0.1, 0.8]}, CameraModel, "test")
    assert white_point(green, [blackbody(2700)], [1.0]).xyz == pytest.approx([0.125, 1.0, 0.125])
