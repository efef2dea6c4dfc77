"""Notes on a setup: what it lacks, lamps of two whites, and whether its picture can show what it should."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from gallery.diagram.notes import setup_notes, sights_heading
from render.readings.dimming import with_solved_dimmers
from scenes.setups.placed import PlacedSetup
from tests.unit.scenes.setups.test_placed import PANEL, placed_by_hand


def key_and_fill(**fill: Any) -> PlacedSetup:
    """Return a key and a fill that should be a stop under it."""
    placed = placed_by_hand(PANEL, {**PANEL, "name": "spare", "at_cm": [25, -30, 40], **fill})
    key, second = placed.lamps
    return replace(placed, lamps=(key, replace(second, role="fill", stops_under_key=1.0)), shortfalls=())


def test_lamps_of_one_white_that_reach_the_ratio_need_no_note() -> None:
    setup = with_solved_dimmers(key_and_fill(), [100, 100])
    assert setup_notes(setup) == ()
    assert sights_heading(setup) == "What the picture should show"


@pytest.mark.parametrize(
    ("fill_lux", "why"), [(10, "is too weak and is 3.3 under"), (400, "does not dim and is 2.0 over")]
)
def test_where_a_ratio_is_not_reached_the_sights_are_those_of_the_setup_as_it_should_be(
    fill_lux: float, why: str
) -> None:
    setup = with_solved_dimmers(key_and_fill(dimmable=False), [100, fill_lux])
    assert setup_notes(setup) == (f"This setup wants the fill 1 stops under the key: spare {why}.",)
    assert sights_heading(setup) == "With the wanted ratios, the picture would show"


def test_another_lack_leaves_the_sights_as_they_are() -> None:
    setup = replace(key_and_fill(), shortfalls=("wants a black card",))
    assert setup_notes(setup) == ("This setup wants a black card.",)
    assert sights_heading(setup) == "What the picture should show"


def test_lamps_of_two_whites_are_noted_after_what_lacks() -> None:
    lack, whites = setup_notes(with_solved_dimmers(key_and_fill(kelvin=2700), [100, 10]))
    assert lack.startswith("This setup wants the fill")
    assert "the fill (2700 K) turns the right side orange" in whites
