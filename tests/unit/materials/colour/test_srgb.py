"""The sRGB curve and its matrix."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.colour.srgb import XYZ_TO_LINEAR_SRGB, hex_colour, srgb_decode, srgb_encode
from materials.light.observer import D65_XYZ


def test_d65_is_the_white_of_srgb() -> None:
    assert pytest.approx([1, 1, 1], abs=1e-12) == XYZ_TO_LINEAR_SRGB @ D65_XYZ


def test_the_srgb_matrix_is_that_of_the_standard_but_for_the_sums_of_its_white() -> None:
    # IEC 61966-2-1, four decimals
    standard = [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
    assert pytest.approx(np.array(standard), abs=1e-3) == XYZ_TO_LINEAR_SRGB


@given(st.floats(0, 1))
def test_encoding_undoes_decoding(value: float) -> None:
    assert srgb_encode(srgb_decode(value)) == pytest.approx(value, abs=1e-6)


def test_the_srgb_curve_shows_an_18_percent_card_as_118() -> None:
    assert round(255 * float(srgb_encode(0.18))) == 118


def test_the_srgb_curve_meets_its_straight_part() -> None:
    assert srgb_decode(0.04045) == pytest.approx(0.04045 / 12.92, rel=1e-12)
    assert float(srgb_decode(0.04045 + 1e-9)) == pytest.approx(0.0031308, abs=1e-7)


def test_the_matrix_cannot_be_written_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        XYZ_TO_LINEAR_SRGB[...] = 0


@given(st.tuples(*[st.integers(0, 255)] * 3))
def test_the_hex_colour_of_8_bits_is_these_bits(levels: tuple[int, int, int]) -> None:
    assert hex_colour(np.array(levels) / 255) == "#" + bytes(levels).hex()
