"""What the script is given: shutter times in thirds of a stop."""

from __future__ import annotations

from gallery.page.live import shutter_names
from gallery.page.relight.lamp_pictures import EXPOSURE_STOPS


def test_shutter_times_go_from_under_to_over_by_their_names() -> None:
    names = shutter_names(1 / 64)
    assert names[3 * EXPOSURE_STOPS] == "1/60 s"
    assert names[0] == "1/500 s"
    assert names[-1] == "1/8 s"
    assert len(set(names)) == 6 * EXPOSURE_STOPS + 1
