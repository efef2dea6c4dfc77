"""What is proposed for a fill, in words."""

from __future__ import annotations

from typing import Any

import pytest

from gallery.answers.fill import fill_lines

FACTS: dict[str, Any] = {
    "fill": "bulb", "wanted_stops": 2.0, "key_role": "key", "now_stops": 0.5, "full_stops": 0.5, "dimmer": 0.25,
    "dimmable": True, "now_cm": 41.0, "wished_cm": 93.0, "obstacle": "reach into the table",
    "at_cm": [7.0, -39.0, 4.0], "traced_stops": 0.5,
}  # fmt: skip


@pytest.mark.parametrize(
    ("free_cm", "ends"),
    [
        (41.2, "; its line has no room beyond where it is now"),
        (60.0, "60 cm from the hero in place of 41 cm, at [7, -39, 4] cm; traced there: 0.5 stops under"),
        (None, ": its line has no room"),
    ],
)
def test_a_place_is_proposed_only_where_it_is_another_than_now(free_cm: float | None, ends: str) -> None:
    line = fill_lines({**FACTS, "distance_cm": free_cm})[-1]
    assert "93 cm from the hero it would reach into the table" in line
    assert line.endswith(ends)
