"""A meter that the model contains or shades is said to be so."""

from __future__ import annotations

from typing import Any

import pytest

from gallery.answers.meter import meter_lines


def facts(direct_lux: float, clear_lux: float) -> dict[str, Any]:
    reading = {"lux": direct_lux + 20, "lux_error": 1.0, "direct_lux": direct_lux, "clear_lux": clear_lux}
    return {"meters": [{"name": "cheek", "room_stops": None, "by_lamp": {"key": direct_lux + 20}, **reading}]}


@pytest.mark.parametrize("clear_lux", [78000.0, 800.0])
def test_a_shaded_meter_says_how_little_gets_there(clear_lux: float) -> None:
    said = [line for line in meter_lines(facts(344.0, clear_lux)) if line.startswith("cheek: ")]
    assert [line.split(" of the lamps")[0] for line in said] == [f"cheek: {34400 / clear_lux:.0f} %"]


@pytest.mark.parametrize("clear_lux", [350.0, 0.0])
def test_a_meter_in_the_open_or_without_lamps_says_nothing_more(clear_lux: float) -> None:
    assert not any(line.startswith("cheek: ") for line in meter_lines(facts(min(344.0, clear_lux), clear_lux)))
