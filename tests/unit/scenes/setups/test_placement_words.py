"""A place in words, as one would set it up with a tape measure."""

from __future__ import annotations

import numpy as np
import pytest

from scenes.setups.place import Place
from scenes.setups.placement_words import placement_words

Triple = tuple[float, float, float]


@pytest.mark.parametrize(
    ("at", "words"),
    [
        ((-24, -30, 41), "24 cm left and 30 cm in front of the centre mark, lamp centre 41 cm up, level"),
        ((24, 30, 41), "24 cm right and 30 cm behind the centre mark, lamp centre 41 cm up, level"),
        ((24, 0, 41), "24 cm right of the centre mark, lamp centre 41 cm up, level"),
        ((-24, 0, 41), "24 cm left of the centre mark, lamp centre 41 cm up, level"),
        ((0, -30, 41), "30 cm in front of the centre mark, lamp centre 41 cm up, level"),
        ((0, 30, 41), "30 cm behind the centre mark, lamp centre 41 cm up, level"),
        ((0.4, -0.4, 41), "over the centre mark, lamp centre 41 cm up, level"),
        ((-24.4, -29.6, 40.9), "24 cm left and 30 cm in front of the centre mark, lamp centre 41 cm up, level"),
    ],
)
def test_a_spot_is_measured_from_the_centre_mark(at: Triple, words: str) -> None:
    level = Place(at, (at[0] + 1, at[1], at[2]))
    assert placement_words("key", level) == f"key: {words}"


@pytest.mark.parametrize(
    ("rise_deg", "tilt"),
    [
        (-35, "tilted down 35 degrees"),
        (35, "tilted up 35 degrees"),
        (-90, "tilted down 90 degrees"),
        (90, "tilted up 90 degrees"),
        (0.4, "level"),
        (-0.4, "level"),
        (1, "tilted up 1 degrees"),
    ],
)
def test_a_tilt_is_up_down_or_level(rise_deg: float, tilt: str) -> None:
    rise = np.radians(rise_deg)
    aim = (0.0, float(100 * np.cos(rise)), float(41 + 100 * np.sin(rise)))
    assert placement_words("fill", Place((0, 0, 41), aim)).endswith(f", {tilt}")
