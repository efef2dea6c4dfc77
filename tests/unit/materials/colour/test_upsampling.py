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


@pytest.mark.parametrize("colour", ["#b5833c", "#5a6b3c", "#24508c", "#400000", "#d8c8a8"])
def test_a_muted_colour_has_a_smooth_spectrum(colour: str) -> None:
    reflectance = reflectance_from_hex(colour)
    assert np.abs(np.diff(reflectance)).max() < 0.012
    assert np.count_nonzero(np.diff(np.sign(np.diff(reflectance[20:])))) <= 3


def test_colours_next_to_one_another_have_spectra_next_to_one_another() -> None:
    """Across greys too, where the hue turns round."""
    for red, green, blue in product((0x40, 0x80, 0xC0), repeat=3):
        near = (reflectance_from_hex(f"#{red + i:02x}{green + j:02x}{blue:02x}") for i, j in ((0, 0), (1, 0), (0, 1)))
        here, *beside = near
        assert max(float(np.abs(other - here).max()) for other in beside) < 0.02


def test_a_cached_spectrum_cannot_be_spoilt() -> None:
    with pytest.raises(ValueError, match="read-only"):
        reflectance_from_hex("#b5833c")[0] = 1


def test_upper_and_lower_case_are_one_colour() -> None:
    assert np.array_equal(reflectance_from_hex("#B5833C"), reflectance_from_hex("#b5833c"))


@pytest.mark.parametrize("bad", ["", "b5833c", "#b5833", "#b5833cc", "#b5833g", "brass", " #b5833c", "#b5833c\n"])
def test_a_bad_colour_is_refused_in_words(bad: str) -> None:
    with pytest.raises(ValueError, match="written #rrggbb"):
        reflectance_from_hex(bad)
