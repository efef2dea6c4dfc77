"""Light and ratios in 8 bits."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import ArrayLike

from gallery.page.relight.codes import RATIO_STOPS, light_codes, light_of_codes, ratio_codes, ratio_of_codes
from materials.arrays import Array


def pixels(values: ArrayLike) -> Array:
    """Return a picture of grey values, (1, n, 3)."""
    return np.repeat(np.asarray(values, float)[None, :, None], 3, axis=2)


def test_light_comes_back_within_a_step_of_3_4_per_cent() -> None:
    light = pixels(np.geomspace(2**-8, 1, 1000))
    np.testing.assert_allclose(light_of_codes()[light_codes(light)] / light, 1.0, atol=0.034)


def test_light_between_two_codes_comes_back_on_average() -> None:
    for light in (0.01, 0.0567, 0.4):
        back = light_of_codes()[light_codes(np.full((64, 64, 3), light))]
        assert np.ptp(back) > 0
        assert back.mean() == pytest.approx(light, rel=0.001)


def test_black_and_what_is_clipped_come_back_exactly() -> None:
    back = light_of_codes()[light_codes(pixels([-1.0, 0.0, 1.0, 50.0]))]
    np.testing.assert_allclose(back, pixels([0.0, 0.0, 1.0, 1.0]))


def test_each_code_stands_for_itself() -> None:
    codes = np.arange(256)
    np.testing.assert_array_equal(light_codes(pixels(light_of_codes())), pixels(codes))
    np.testing.assert_array_equal(ratio_codes(ratio_of_codes())[1:], codes[1:])


def test_ratios_come_back_within_half_a_step_and_equality_exactly() -> None:
    ratio = 2.0 ** np.linspace(-RATIO_STOPS, RATIO_STOPS, 999)
    np.testing.assert_allclose(ratio_of_codes()[ratio_codes(ratio)], ratio, rtol=RATIO_STOPS / 254 * 0.7)
    assert ratio_of_codes()[ratio_codes(1.0)] == 1.0
