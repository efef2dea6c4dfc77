"""What the script is given: shutter times in thirds of a stop."""

from __future__ import annotations

from gallery.page.live import MOST_STOPS, shutter_names


def test_shutter_times_go_from_under_to_over_by_their_names() -> None:
    names = shutter_names(1 / 64)
    assert names[3 * MOST_STOPS] == "1/60 s"
    assert names[0] == "1/500 s"
    assert names[-1] == "1/8 s"
    assert len(set(names)) == 6 * MOST_STOPS + 1
