"""Points and angles as they are read off a tape measure."""

from __future__ import annotations

import pytest

from scenes.setups.placement_words.tape import format_degrees, ground_words, height_words, tilt_words


@pytest.mark.parametrize(("degrees", "words"), [(0.6, "1 degree"), (1.4, "1 degree"), (34.7, "35 degrees")])
def test_an_angle_is_in_whole_degrees(degrees: float, words: str) -> None:
    assert format_degrees(degrees) == words


@pytest.mark.parametrize(
    ("at", "words"),
    [
        ((-24, -30), "24 cm left and 30 cm in front of the centre mark"),
        ((24, 30), "24 cm right and 30 cm behind the centre mark"),
        ((24, 0.2), "24 cm right of the centre mark"),
        ((-24, 0), "24 cm left of the centre mark"),
        ((0, -30), "30 cm in front of the centre mark"),
        ((-0.2, 30), "30 cm behind the centre mark"),
        ((0.2, -0.2), "over the centre mark"),
        ((3.6, -0.4), "3.5 cm right and 0.5 cm in front of the centre mark"),
    ],
)
def test_a_point_is_measured_from_the_centre_mark(at: tuple[float, float], words: str) -> None:
    assert ground_words(at) == words


@pytest.mark.parametrize(
    ("z", "words"), [(41.2, "41 cm up"), (0.1, "on the table"), (-5.1, "5 cm below the table's surface")]
)
def test_a_height_counts_from_the_table(z: float, words: str) -> None:
    assert height_words(z) == words


@pytest.mark.parametrize(
    ("rise_deg", "words"),
    [
        (-35, "tilted down 35 degrees"), (35, "tilted up 35 degrees"), (-90, "tilted down 90 degrees"),
        (0.4, "level"), (-0.4, "level"), (1, "tilted up 1 degree"),
    ],
)  # fmt: skip
def test_a_tilt_is_up_down_or_level(rise_deg: float, words: str) -> None:
    assert tilt_words(rise_deg) == words
