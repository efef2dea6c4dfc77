"""Cautions stand where a lamp hangs or is near what may burn, and defer to its label."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from gallery.diagram.care import ALWAYS, care_notes
from scenes.stage.backdrop import Sweep
from tests.support.diagrams.cases import as_placed

LED = {"name": "led", "size_cm": [10, 10], "lumens": 500, "ra": 80, "at_cm": [-40, 0, 50], "aim_cm": [0, 0, 10]}
CARD = {"name": "card", "size_cm": [20, 20], "reflectance": 0.8, "at_cm": [-47, 0, 50], "facing": [1, 0, 0]}


def test_a_lamp_that_stands_free_is_not_warned_of() -> None:
    assert care_notes(as_placed(None, lamps=[LED])) == [ALWAYS]


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({}, "from card A: paper and cloth scorch"),
        ({"nearest_cm": 30}, "its label asks for 30 cm"),
    ],
)
def test_a_lamp_near_a_card_is_named_with_how_near_and_what_its_label_asks(keys: dict[str, Any], words: str) -> None:
    note, last = care_notes(as_placed(None, lamps=[{**LED, **keys}], cards=[CARD]))
    assert last == ALWAYS
    assert note.startswith("1 key 3.5 cm from card A")
    assert words in note


def test_a_lamp_that_may_be_hot_keeps_farther_from_the_sheet_than_an_led() -> None:
    low = {"at_cm": [-20, 0, 25]}
    hot = {key: value for key, value in LED.items() if key != "ra"}
    assert care_notes(as_placed(None, lamps=[{**LED, **low}])) == [ALWAYS]
    assert "from the sheet" in care_notes(as_placed(None, lamps=[{**hot, **low}]))[0]


def _first_caution(**keys: Any) -> str:
    """Return the first caution of a lamp that faces down beside or over a small sheet."""
    setup = as_placed(None, lamps=[{**LED, **keys}])
    return care_notes(replace(setup, sweep=Sweep(width_cm=40, front_cm=20, wall_cm=20, radius_cm=8, height_cm=30)))[0]


BESIDE: dict[str, Any] = {"at_cm": [-40, 0, 8], "aim_cm": [-40, 0, 0]}
"""Its face, 10 cm across, ends 15 cm from the sheet's side and is 8 cm over the table: 17 cm from the sheet."""


def test_the_sheet_ends_at_its_edges() -> None:
    assert _first_caution(**BESIDE, nearest_cm=20).startswith("1 key 17 cm from the sheet and 8 cm from the table (its")
    assert _first_caution(**BESIDE, nearest_cm=17).startswith("1 key 8 cm from the table (its label asks for 17 cm)")


def test_the_table_is_named_only_nearer_than_a_label_asks() -> None:
    assert _first_caution(**BESIDE, nearest_cm=8) == ALWAYS
    assert _first_caution(**BESIDE) == ALWAYS


def test_over_the_sheet_the_table_is_not_named() -> None:
    note = _first_caution(at_cm=[0, 0, 12], aim_cm=[0, 0, 0], nearest_cm=20)
    assert note.startswith("1 key 12 cm from the sheet (its label asks for 20 cm)")


def test_a_lamp_that_hangs_is_to_be_fastened() -> None:
    setup = as_placed(None, lamps=[LED])
    hanging = replace(setup, lamps=(replace(setup.lamps[0], hangs=True),))
    assert care_notes(hanging)[0].startswith("1 key on an arm: weight the stand's foot")
