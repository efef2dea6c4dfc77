"""Dithered frames keep their levels on the mean and show no contours in smooth dark."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from materials.colour.srgb import srgb_decode, srgb_encode
from render.camera.development import encode
from render.camera.dither import encode_dithered


@pytest.mark.parametrize("level", [0.25, 4.5, 11.8, 117.6, 254.9])
def test_an_even_field_averages_to_its_level_between_two_neighbours(level: float) -> None:
    shown = encode_dithered(np.full((90, 120, 3), srgb_decode(level / 255), np.float32))
    assert set(np.unique(shown)) == {np.floor(level), np.ceil(level)}
    assert shown.mean() == pytest.approx(level, abs=0.02)


def test_whole_levels_white_and_black_stay_what_they_are_in_every_pixel() -> None:
    levels = np.broadcast_to(np.arange(256)[None, :, None], (64, 256, 3))
    np.testing.assert_array_equal(encode_dithered(srgb_decode(levels / 255).astype(np.float32)), levels)
    ends = np.where(levels < 128, np.float32(-0.1), np.float32(7))
    np.testing.assert_array_equal(encode_dithered(ends), np.where(levels < 128, 0, 255))


def test_what_is_neutral_stays_neutral() -> None:
    grey = np.repeat(np.linspace(0, 0.01, 6400, dtype=np.float32).reshape(80, 80, 1), 3, axis=2)
    assert np.ptp(encode_dithered(grey), axis=2).max() == 0


def test_a_dark_gradient_has_a_quarter_of_the_low_frequency_error_of_rounding() -> None:
    """On a wall of levels 5 to 12, where the contours of single levels are seen."""
    level = 5 + 7 * np.hypot(*np.mgrid[:240, :320]) / 400
    wall = np.repeat(srgb_decode(level / 255).astype(np.float32)[..., None], 3, axis=2)
    exact = 255 * srgb_encode(wall)

    def low(shown: np.ndarray[tuple[int, ...], np.dtype[np.uint8]]) -> float:
        return float(np.std(gaussian_filter(shown[..., 1] - exact[..., 1], 2)))

    assert low(encode(wall)) > 0.15
    assert low(encode_dithered(wall)) < 0.25 * low(encode(wall))
