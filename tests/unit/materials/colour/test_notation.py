"""Colours in words: what is one, what is none and why."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from materials.colour.lab import lab_to_xyz
from materials.colour.munsell import munsell_to_xyz, munsell_value_to_luminance
from materials.colour.notation import is_colour, reflectance_from
from materials.colour.srgb import XYZ_TO_LINEAR_SRGB, linear_srgb_under_d65
from materials.colour.upsampling import reflectance_from_hex
from materials.light.observer import D65_XYZ

GREYS = ("lab(50, 0, 0)", "lab-d50(50, 0, 0)", "N 5", "n5/", "5R 4/0", "#777777")


@pytest.mark.parametrize("words", ["#B5833c", "lab(52, 41, 30)", "LAB(52,+41,-.5)", "lab-d50(52, 41, 30.)", "5YR 5/6",
                                   "2.5yr 5.5/6", "N 9.5", "N5", "paint.CSV"])  # fmt: skip
def test_a_colour_may_be_said_in_every_one_of_these_ways(words: str) -> None:
    assert is_colour(words)


@pytest.mark.parametrize("words", ["", "blue", "b5833c", " #b5833c", "lab(52 41 30)", "lab(1-2, 3, 4)", "lab(.., 3, 4)",
                                   "lab(5e1, 0, 0)", "lab(99999, 0, 0)", "lab(nan, 0, 0)", "5 YR 5", "N",
                                   "#b5833c\n"])  # fmt: skip
def test_other_words_are_no_colour_and_are_answered_with_how_one_is_written(words: str) -> None:
    assert not is_colour(words)
    with pytest.raises(ValueError, match="is written"):
        reflectance_from(words)


@settings(deadline=None, max_examples=60)
@given(st.text("lab-d50() ,.+N/R#123456789YGBP%", max_size=24))
@example("lab(100, 500, -500)")
@example("lab(0, 1, 0)")
def test_any_words_give_a_reflectance_or_a_reason(words: str) -> None:
    try:
        reflectance = reflectance_from(words)
    except ValueError:
        return
    assert reflectance.shape == (351,)
    assert reflectance.min() >= 0
    assert reflectance.max() <= 1
    assert not reflectance.flags.writeable


@pytest.mark.parametrize("words", GREYS)
def test_greys_are_flat(words: str) -> None:
    assert np.ptp(reflectance_from(words)) < 1e-6


def test_white_and_black_are_all_and_nothing() -> None:
    for white, black in (("lab(100, 0, 0)", "lab(0, 0, 0)"), ("N 10", "N 0"), ("#ffffff", "#000000")):
        np.testing.assert_allclose(reflectance_from(white), 1, atol=1e-6)
        np.testing.assert_allclose(reflectance_from(black), 0, atol=1e-6)


def test_hexadecimal_is_what_it_was() -> None:
    assert reflectance_from("#b5833c") is reflectance_from_hex("#b5833c")


@pytest.mark.parametrize("words", ["lab(60, 90, 60)", "lab(100, 20, 0)", "lab(0, 1, 0)", "lab-d50(95, 0, -40)"])
def test_a_colour_that_no_surface_can_have_is_refused(words: str) -> None:
    assert is_colour(words)
    with pytest.raises(ValueError, match="no surface can have the colour"):
        reflectance_from(words)


@pytest.mark.parametrize("words", ["lab(60, 90, 60)", "lab(97, 20, 0)", "lab-d50(95, 0, -40)", "7.5G 9/20"])
def test_a_colour_that_no_surface_can_have_is_answered_with_one_that_is_little_less_vivid(words: str) -> None:
    with pytest.raises(ValueError, match="the most vivid of that hue") as caught:
        reflectance_from(words)
    nearest = str(caught.value).rpartition(" is ")[2]
    assert reflectance_from(nearest).shape == (351,)
    lightness, a, b = map(float, nearest.removeprefix("lab(").removesuffix(")").split(","))
    with pytest.raises(ValueError, match="no surface"):
        reflectance_from(f"lab({lightness}, {1.03 * a}, {1.03 * b})")


def test_lightness_lies_between_0_and_100() -> None:
    for words in ("lab(101, 0, 0)", "lab(-1, 0, 0)"):
        with pytest.raises(ValueError, match="L of Lab lies between 0 and 100"):
            reflectance_from(words)


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        ("N 10.5", "a Munsell value lies between 0 and 10, not at 10.5"),
        ("11R 5/4", "a hue's number lies between 0 and 10"),
        ("5R 9.5/2", "the value of a colour between 1 and 9"),
        ("5B 5/60", "5B 5/60 lies beyond the Munsell renotation: less chroma"),
    ],
)
def test_a_munsell_notation_beyond_its_scales_says_where_they_end(words: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        reflectance_from(words)


def test_the_hue_circle_of_munsell_is_closed() -> None:
    for one, other in (("10RP 5/4", "0R 5/4"), ("10R 5/4", "0YR 5/4")):
        np.testing.assert_allclose(munsell_to_xyz(one), munsell_to_xyz(other), rtol=1e-12)


@settings(deadline=None, max_examples=40)
@given(st.floats(0.3, 9.7), st.floats(1, 9), st.floats(0.1, 3.9))
def test_munsell_goes_on_without_a_step(hue: float, value: float, chroma: float) -> None:
    def xyz(by: float) -> np.ndarray:
        return munsell_to_xyz(f"{hue + by:.6f}G {min(value + by, 9):.6f}/{chroma + by:.6f}")

    assert np.abs(xyz(1e-4) - xyz(0)).max() < 1e-4
    assert xyz(0)[1] == pytest.approx(munsell_value_to_luminance(round(value, 6)), rel=0.02)


@settings(deadline=None, max_examples=40)
@given(st.floats(20, 80), st.floats(-15, 15), st.floats(-15, 15))
def test_what_a_surface_of_a_lab_colour_sends_back_is_that_colour(lightness: float, a: float, b: float) -> None:
    lab = [round(value, 3) for value in (lightness, a, b)]
    reflectance = reflectance_from(f"lab({lab[0]:f}, {lab[1]:f}, {lab[2]:f})")
    np.testing.assert_allclose(linear_srgb_under_d65(reflectance), XYZ_TO_LINEAR_SRGB @ lab_to_xyz(lab), atol=1e-6)


def test_lab_white_is_the_white_of_its_light() -> None:
    np.testing.assert_allclose(lab_to_xyz([100, 0, 0]), D65_XYZ, rtol=1e-12)
