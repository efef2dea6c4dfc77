"""A lamp whose stand would be in the picture hangs from an arm."""

from __future__ import annotations

import pytest

from scenes.setups.place import Place
from scenes.setups.placement.hanging import hangs
from tests.unit.scenes.setups.test_place import STAGE


@pytest.mark.parametrize(
    ("at", "is_hung"),
    [
        ((0.0, 25.0, 60.0), True),  # behind, its stand rises beside and over the model
        ((0.0, -30.0, 45.0), True),  # before, its stand would cross the picture
        ((0.0, 0.0, 45.0), True),  # straight above the model, where no stand can be
        ((-60.0, -20.0, 40.0), False),  # beside the frame
        ((0.0, -90.0, 40.0), False),  # behind the camera
        ((2.0, -72.0, 40.0), True),  # over the camera
        ((0.0, 4.0, 8.0), False),  # low, hidden by the model
    ],
)
def test_a_lamp_hangs_where_its_stand_would_be_seen_or_the_model_is_below_it(
    at: tuple[float, float, float], is_hung: bool
) -> None:
    assert hangs(Place(at, STAGE.hero_cm), STAGE) is is_hung
