"""The table says of each lamp where it stands and how far it is dimmed, and what a meter reads."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from gallery.diagram.lamp_table import dimmer_words, lamp_table, lux_digits
from gallery.diagram.readings import LampReading
from tests.support.diagrams.cases import as_placed, block

PANEL = {"name": "panel", "size_cm": [20, 14], "lumens": 900, "at_cm": [-25, -15, 43], "aim_cm": [0, 0, 15]}
BULB = {"name": "bulb", "kind": "bulb", "diameter_cm": 6, "lumens": 300, "at_cm": [30, -20, 12], "aim_cm": [0, 0, 5]}


@pytest.mark.parametrize(
    ("keys", "dimmer", "words"),
    [
        ({}, 1.0, "100 %"), ({}, 0.25, "25 %, 2.0 stops under full"), ({}, 0.0, "off"),
        ({}, 0.031, "3.1 %, 5.0 stops under full"), ({"dimmable": False}, 1.0, "100 %, has no dimmer"),
    ],
)  # fmt: skip
def test_a_dimmer_in_per_cent_and_in_stops_under_full(keys: dict[str, Any], dimmer: float, words: str) -> None:
    (lamp,) = as_placed(None, lamps=[{**PANEL, **keys}]).lamps
    assert dimmer_words(replace(lamp, dimmer=dimmer)) == words


@pytest.mark.parametrize(
    ("lux", "words"),
    [
        (1243.0, "1240"),
        (38.46, "38.5"),
        (2.0, "2"),
        (0.0, "0"),
        (12345, "12300"),
    ],
)
def test_lux_have_three_digits(lux: float, words: str) -> None:
    assert lux_digits(lux) == words


def test_each_lamp_has_a_column_of_what_it_takes() -> None:
    setup = as_placed(block(6, 6, 18), lamps=[PANEL, BULB])
    rows = lamp_table(setup, [LampReading(1243.0, 44.7, 0.061), LampReading(88.0, 7.46, None)])
    assert {row[0]: row[1:] for row in rows} == {
        "in cm": ["1 key", "2 lamp 2"],
        "lamp": ["panel", "bulb"],
        "from the mark": ["25 left, 15 in front", "30 right, 20 in front"],
        "angle at mark": ["59° left", "56° right"],
        "lamp's centre": ["43 up", "12 up"],
        "aimed at": ["the hero", "shines all round"],
        "tilt": ["44° down", "turn it any way"],
        "longer side": ["level", ""],
        "string to hero": ["40.5", "36"],
        "dimmer": ["100 %", "100 %"],
        "white": ["4000 K", "4000 K"],
        "meter from lamp": ["44.5", "7.5"],
        "meter reads, lx": ["1240", "88"],
        "1 cm farther": ["-0.06 stops", ""],
    }
