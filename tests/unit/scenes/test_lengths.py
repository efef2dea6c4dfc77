"""Lengths in words: distances as of a tape measure, sizes as of a ruler."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.lengths import (
    about_words,
    dimensions_words,
    distance_words,
    distance_words_up,
    size_words,
    tape_reading,
)  # fmt: skip


@pytest.mark.parametrize(
    ("cm", "words"),
    [
        (0.2, "0 cm"), (0.3, "0.5 cm"), (7.3, "7.5 cm"), (9.7, "9.5 cm"), (9.8, "10 cm"), (10.4, "10 cm"),
        (24.6, "25 cm"), (-7.3, "-7.5 cm"), (-24.6, "-25 cm"),
    ],
)  # fmt: skip
def test_a_distance_is_read_to_half_a_centimetre_below_ten_and_to_a_whole_one_above(cm: float, words: str) -> None:
    assert distance_words(cm) == words


@given(st.floats(0.01, 300))
def test_a_distance_that_has_to_be_enough_is_the_next_on_the_tape(cm: float) -> None:
    found = float(distance_words_up(cm).removesuffix(" cm"))
    assert cm - 1e-5 <= found < cm + (0.5 if found < 10 else 1.0)
    assert found == tape_reading(found)


@pytest.mark.parametrize(
    ("sides", "words"),
    [
        ((16.68, 10.04, 0.503), "16.7 x 10 x 0.5 cm"), ((18.0,), "18 cm"), ((20.0, 0.031), "20 x 0.03 cm"),
        ((0.945, 0.333, 0.0351), "9 x 3 x 0.4 mm"), ((1.94, 0.6), "19 x 6 mm"), ((2.0, 0.6), "2 x 0.6 cm"),
        ((0.0,), "0 mm"), ((121.4, 200.0, 9.97), "121 x 200 x 10 cm"), ((29.7, 21.0), "29.7 x 21 cm"),
    ],
)  # fmt: skip
def test_a_size_is_read_to_a_millimetre_in_one_unit(sides: tuple[float, ...], words: str) -> None:
    assert size_words(*sides) == words


def test_the_dimensions_of_a_model_are_named() -> None:
    assert dimensions_words(11.02, 7.8, 18.0) == "11 cm wide, 7.8 cm long, 18 cm tall"


def test_sides_that_are_wanted_roughly_are_read_off_a_tape() -> None:
    assert about_words(7.3, 24.4) == "7.5 x 24 cm"
