"""Spectral upsampling: reflectances that have the colour asked for."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.colour.srgb import linear_srgb_under_d65, srgb_decode
from materials.colour.upsampling import reflectance_from_hex

LEVELS = ("00", "01", "33", "80", "cc", "fe", "ff")
COLOURS = ["#" + "".join(parts) for parts in product(LEVELS, repeat=3)]


def linear(colour: str) -> np.ndarray:
    return srgb_decode([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])


def test_a_spectrum_looks_like_its_colour_up_to_the_corners_of_the_gamut() -> None:
    errors = {
        colour: float(np.abs(linear_srgb_under_d65(reflectance_from_hex(colour)) - linear(colour)).max())
        for colour in COLOURS
    }
    worst = max(errors, key=errors.__getitem__)
    assert errors[worst] < 1e-6, worst


@given(st.integers(0, 0xFFFFFF))
def test_any_colour_is_reached_by_a_reflectance(number: int) -> None:
    colour = f"#{number:06x}"
    reflectance = reflectance_from_hex(colour)
    assert reflectance.min() >= 0
    assert reflectance.max() <= 1
    assert linear_srgb_under_d65(reflectance) == pytest.approx(linear(colour), abs=1e-6)


@given(st.integers(0, 255))
def test_a_grey_is_flat_at_its_linear_value(level: int) -> None:
    reflectance = reflectance_from_hex(f"#{level:02x}{level:02x}{level:02x}")
    assert np.ptp(reflectance) == 0
    assert reflectance[0] == pytest.approx(float(srgb_decode(level / 255)), rel=1e-15)


def test_a_muted_colour_has_one_smooth_spectrum() -> None:
    reflectance = reflectance_from_hex("#b5833c")  # brass
    assert np.abs(np.diff(reflectance)).max() < 0.01
    # a sigmoid of a quadratic turns at most once
    assert np.count_nonzero(np.diff(np.sign(np.diff(reflectance)))) <= 1


def test_a_cached_spectrum_cannot_be_spoilt() -> None:
    with pytest.raises(ValueError, match="read-only"):
        reflectance_from_hex("#b5833c")[0] = 1


def test_upper_and_lower_case_are_one_colour() -> None:
    assert np.array_equal(reflectance_from_hex("#B5833C"), reflectance_from_hex("#b5833c"))


@pytest.mark.parametrize("bad", ["", "b5833c", "#b5833", "#b5833cc", "#b5833g", "brass", " #b5833c", "#b5833c\n"])
def test_a_bad_colour_is_refused_in_words(bad: str) -> None:
    with pytest.raises(ValueError, match="written #rrggbb"):
        reflectance_from_hex(bad)
