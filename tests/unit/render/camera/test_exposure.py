"""Exposure in thirds of a stop, development to a neutral white point, clipping at saturation."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.arrays import Image
from materials.light.spectra import blackbody, photometric_value, xyz
from render.camera.exposure import (
    BRIGHT_LEVEL,
    BRIGHT_PERCENTILE,
    PEAK_LEVEL,
    PEAK_PERCENTILE,
    Exposure,
    choose_exposure,
    develop,
    encode,
)
from scenes.arrangement.arrangement import CameraModel
from scenes.arrangement.reading import fill_model
from scenes.stage.cameras import camera_kinds

WHOLE = np.ones((40, 50), np.float32)


def camera(**keys: Any) -> CameraModel:
    return fill_model(keys, CameraModel, "test")


def light(seed: int, level: float = 1.0, spread: float = 1.5) -> Image:
    """Return luminances spread as on a model: most in the middle, a few highlights."""
    return (level * np.exp(spread * np.random.default_rng(seed).standard_normal((40, 50)))).astype(np.float32)


@given(st.integers(0, 99), st.floats(-3, 5))
def test_an_automatic_exposure_is_a_whole_number_of_thirds_of_a_stop(seed: int, magnitude: float) -> None:
    thirds = 3 * choose_exposure(camera(), light(seed, 10**magnitude), WHOLE).ev100
    assert thirds == pytest.approx(round(thirds), abs=1e-6)


spreads = st.tuples(st.integers(0, 99), st.floats(-1, 5), st.floats(0.1, 3))


@given(spreads)
def test_an_automatic_exposure_clips_two_per_cent_of_the_subject_at_most(spread: tuple[int, float, float]) -> None:
    seed, magnitude, width = spread
    luminance = light(seed, 10**magnitude, width)
    exposure = choose_exposure(camera(), luminance, WHOLE)
    assert (luminance >= exposure.saturation_cd_m2).mean() <= 0.0205


@given(spreads)
def test_an_automatic_exposure_a_third_of_a_stop_longer_would_be_too_long(spread: tuple[int, float, float]) -> None:
    seed, magnitude, width = spread
    luminance = light(seed, 10**magnitude, width)
    longer = choose_exposure(camera(), luminance, WHOLE).saturation_cd_m2 / 2 ** (1 / 3)
    too_bright = np.percentile(luminance, BRIGHT_PERCENTILE) > BRIGHT_LEVEL * longer
    clips = np.percentile(luminance, PEAK_PERCENTILE) > PEAK_LEVEL * longer
    assert too_bright or clips


@given(st.integers(0, 99), st.integers(-12, 12))
def test_twice_the_light_takes_half_the_time(seed: int, stops: int) -> None:
    one = choose_exposure(camera(), light(seed, 100.0), WHOLE)
    other = choose_exposure(camera(), light(seed, 100.0) * np.float32(2.0**stops), WHOLE)
    assert one.shutter_s / other.shutter_s == pytest.approx(2.0**stops, rel=1e-6)


def test_the_subject_alone_is_metered() -> None:
    luminance, subject = light(1), np.zeros((40, 50), np.float32)
    subject[10:30, 10:30] = 1.0
    alone = choose_exposure(camera(), luminance, subject)
    glaring = np.where(subject > 0, luminance, 1e4).astype(np.float32)
    assert choose_exposure(camera(), glaring, subject) == alone


def test_without_a_subject_the_whole_frame_is_metered() -> None:
    assert choose_exposure(camera(), light(1), np.zeros((40, 50), np.float32)) == choose_exposure(
        camera(), light(1), WHOLE
    )


def test_a_black_frame_still_has_an_exposure() -> None:
    exposure = choose_exposure(camera(), np.zeros((40, 50), np.float32), WHOLE)
    assert np.isfinite([exposure.shutter_s, exposure.ev100, exposure.saturation_cd_m2]).all()
    assert exposure.shutter_s > 0


@pytest.mark.parametrize("kind", ["phone", "camera"])
def test_an_exposure_has_the_aperture_and_iso_of_its_kind_of_camera(kind: str) -> None:
    exposure = choose_exposure(camera(kind=kind), light(1, 100.0), WHOLE)
    assert (exposure.f_number, exposure.iso) == (camera_kinds()[kind].f_number, camera_kinds()[kind].iso)


def test_two_kinds_of_camera_expose_alike() -> None:
    phone, other = (choose_exposure(camera(kind=kind), light(1, 100.0), WHOLE) for kind in ("phone", "camera"))
    assert phone.saturation_cd_m2 == pytest.approx(other.saturation_cd_m2)


@pytest.mark.parametrize("level", [1e-3, 1.0, 1e4])
def test_a_fixed_exposure_stays_whatever_the_light(level: float) -> None:
    exposure = choose_exposure(camera(kind="camera", shutter_s=0.5, iso=400), light(1, level), WHOLE)
    assert exposure == Exposure(0.5, 400, 8.0)


@pytest.mark.parametrize("kelvin", [1000, 2000, 2700, 4000, 6500, 25000])
def test_under_its_own_white_balance_a_lamp_shines_neutral(kelvin: float) -> None:
    white = xyz(blackbody(kelvin)) / photometric_value(blackbody(kelvin))
    exposure = Exposure(1 / 60, 100, 8)
    for share in (0.05, 0.18, 0.9):
        card = (white / white[1] * share * exposure.saturation_cd_m2).astype(np.float32).reshape(1, 1, 3)
        linear = develop(card, exposure, white)
        np.testing.assert_allclose(linear, share, rtol=1e-4)
        assert np.ptp(encode(linear)) == 0


def test_a_warm_lamp_beside_a_cold_white_balance_shows_warm() -> None:
    warm, exposure = xyz(blackbody(2700)), Exposure(1 / 60, 100, 8)
    card = (warm / warm[1] * 0.2 * exposure.saturation_cd_m2).astype(np.float32).reshape(1, 1, 3)
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
