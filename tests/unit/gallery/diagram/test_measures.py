"""Distances and angles in the few characters that a drawing has room for."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gallery.diagram.measures import (
    across_words,
    along_words,
    front_words,
    point_words,
    reading_of,
    round_words,
    scale_words,
    tilt_words,
    up_words,
)
from tests.support.diagrams.cases import as_placed, block

LAMP = {"name": "a", "size_cm": [20, 14], "lumens": 900, "at_cm": [-25, -15, 43], "aim_cm": [0, 0, 15]}


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (across_words(-24.6), "24.5 left"), (across_words(0.2), "0"), (along_words(-14.4), "14.5 in front"),
        (along_words(45.0), "45 behind"), (up_words(43.2), "43 up"), (up_words(-5.0), "5 down"),
        (tilt_words(-44.4), "44° down"), (tilt_words(0.3), "level"), (tilt_words(None), "turn it any way"),
        (round_words(-24.5, -14.5), "59° left"), (round_words(12.5, 17.5), "144° right"),
        (round_words(0.0, 30.0), "180°"), (round_words(0.0, -30.0), "0°"), (round_words(0.1, -0.1), "over it"),
        (front_words(0.0), "front"), (front_words(-35.0), "front 35° left"), (front_words(360.0), "front"),
        (scale_words(8.0), "1 : 8"), (scale_words(1.5), "1 : 1.5"),
    ],
)  # fmt: skip
def test_a_place_in_words(said: str, words: str) -> None:
    assert said == words


def test_a_point_that_is_aimed_at_is_called_by_its_name_or_its_place() -> None:
    setup, empty = as_placed(block(6, 6, 18), lamps=[LAMP]), as_placed(None, lamps=[LAMP])
    assert point_words(setup.hero_cm, setup) == "the hero"
    assert point_words((0.0, 0.0, 0.0), empty) == "the centre mark"
    assert point_words((0.0, -8.4, 24.1), setup) == "0, 8.5 in front, 24 up"
    assert point_words((0.0, 0.1, 5.0), setup) == "over the mark, 5 up"


def test_near_a_small_model_distances_have_millimetres_below_ten() -> None:
    near = {**LAMP, "size_cm": [3, 2], "at_cm": [3.26, 4.44, 7.68], "aim_cm": [0, 0, 2]}
    reading = reading_of(as_placed(block(1, 1, 2), lamps=[near]))
    assert (reading(3.26), reading(-4.44), reading(14.6)) == (3.3, -4.4, 14.5)
    assert reading_of(as_placed(block(6, 6, 18), lamps=[LAMP]))(3.26) == 3.5


@given(st.floats(-500, 500))
def test_a_printed_distance_is_within_a_quarter_of_a_centimetre(cm: float) -> None:
    number, _, way = across_words(cm).partition(" ")
    assert abs(float(number) * {"left": -1, "right": 1, "": 1}[way] - cm) <= 0.25
