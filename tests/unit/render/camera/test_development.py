"""Development to a neutral white point, white at the frame's white."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.light.spectra import blackbody, photometric_value, xyz
from render.camera.development import develop, encode
from render.camera.exposure import Exposure


@pytest.mark.parametrize("kelvin", [1000, 2000, 2700, 4000, 6500, 25000])
def test_under_its_own_white_balance_a_lamp_shines_neutral(kelvin: float) -> None:
    white = xyz(blackbody(kelvin)) / photometric_value(blackbody(kelvin))
    exposure = Exposure(1 / 60, 100, 8)
    for share in (0.05, 0.18, 0.9):
        card = (white / white[1] * share * exposure.white_cd_m2).astype(np.float32).reshape(1, 1, 3)
        linear = develop(card, exposure, white)
        np.testing.assert_allclose(linear, share, rtol=1e-4)
        assert np.ptp(encode(linear)) == 0


def test_a_warm_lamp_beside_a_cold_white_balance_shows_warm() -> None:
    warm, exposure = xyz(blackbody(2700)), Exposure(1 / 60, 100, 8)
    card = (warm / warm[1] * 0.2 * exposure.white_cd_m2).astype(np.float32).reshape(1, 1, 3)
    red, green, blue = develop(card, exposure, xyz(blackbody(5500)))[0, 0]
    assert red > green > blue


@given(st.floats(0.01, 100))
def test_the_white_has_no_brightness_of_its_own(scale: float) -> None:
    exposure, white = Exposure(1 / 60, 100, 8), xyz(blackbody(3000))
    scene = np.random.default_rng(0).random((4, 5, 3), dtype=np.float32) * 1000
    np.testing.assert_allclose(
        develop(scene, exposure, white * scale), develop(scene, exposure, white), rtol=1e-4, atol=1e-6
    )


def test_developing_is_linear_in_the_light() -> None:
    exposure, white = Exposure(1 / 60, 100, 8), xyz(blackbody(3000))
    scene = np.random.default_rng(0).random((4, 5, 3), dtype=np.float32) * 1000
    np.testing.assert_array_equal(develop(scene * np.float32(2), exposure, white), 2 * develop(scene, exposure, white))


def test_what_saturates_is_white_paper_and_what_is_dark_is_black() -> None:
    linear = np.array([[[0, 0, 0], [1, 1, 1], [7, 7, 7], [-0.1, 0.5, 1.5]]], np.float32)
    assert encode(linear).tolist() == [[[0, 0, 0], [255, 255, 255], [255, 255, 255], [0, 188, 255]]]
    assert encode(linear).dtype == np.uint8
