"""Where a setup wants a lamp, in words."""

from __future__ import annotations

from typing import Any

import pytest

from scenes.arrangement.reading import fill_model
from scenes.setups.placement.lacks import where_words
from scenes.setups.setup import SetupLamp
from tests.unit.scenes.setups.test_place import STAGE


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({}, "in front"),
        ({"rise_deg": 45}, "in front and above"),
        ({"round_deg": -45}, "in front at the left"),
        ({"round_deg": 90}, "at the right"),
        ({"round_deg": -140, "rise_deg": 8}, "behind at the left"),
        ({"round_deg": 180, "rise_deg": 55}, "behind and above"),
        ({"rise_deg": 88}, "straight above"),
        ({"rise_deg": -20}, "below the frame"),
        ({"rise_deg": 5, "aim": "base"}, "below the frame"),
        ({"round_deg": 180, "rise_deg": -19, "hidden": True}, "hidden behind the model"),
        ({"rise_deg": 60, "aim": "sheet"}, "for the backdrop"),
    ],
)
def test_a_wanted_place_is_said_as_the_camera_sees_it(keys: dict[str, Any], words: str) -> None:
    assert where_words(fill_model({"role": "key", **keys}, SetupLamp, "test"), STAGE) == words
