"""The settings that are proposed are enough, and ones that the camera has."""

from __future__ import annotations

import pytest

from gallery.answers.enough import enough_settings
from render.camera.exposure import Exposure
from scenes.arrangement.arrangement import CameraModel

FRAME = Exposure(1 / 64, 100, 11)


@pytest.mark.parametrize(
    ("kind", "stops_short", "by_hand", "ways"),
    [
        ("camera", 2, False, ["1/15 s", "ISO 400", "f/5.5"]),
        ("camera", 2.1, False, ["1/13 s", "ISO 500", "f/5.3"]),
        ("camera", 2, True, ["ISO 400", "f/5.5"]),
        ("camera", 7, False, ["2 s", "ISO 12800"]),
        ("aps-c", 7, True, []),
        ("phone", 4, False, ["1/4 s", "ISO 1600"]),
        ("phone", 16 / 3, False, ["0.6 s", "f/1.7"]),
    ],
)
def test_each_setting_by_itself_is_enough_and_within_the_cameras_reach(
    kind: str, stops_short: float, by_hand: bool, ways: list[str]
) -> None:
    camera = CameraModel.model_validate({"kind": kind})
    assert enough_settings(camera, FRAME, 2.0**-stops_short, by_hand=by_hand) == ways
