"""Lamps of different white are told beside the main one, with what each turns its part of the picture."""

from __future__ import annotations

from gallery.diagram.mixed_whites import mixed_white_notes
from tests.support.diagrams.cases import as_placed, block

LAMP = {"name": "a", "size_cm": [20, 14], "lumens": 900, "at_cm": [-25, -15, 43], "aim_cm": [0, 0, 15], "kelvin": 5600}


def test_a_warmer_lamp_turns_its_part_orange() -> None:
    warm = {**LAMP, "name": "b", "at_cm": [25, -15, 43], "kelvin": 2700}
    (note,) = mixed_white_notes(as_placed(block(6, 6, 18), lamps=[LAMP, warm]))
    assert note.startswith("Whites differ: beside the key (5600 K) the lamp 2 (2700 K) turns ")
    assert " orange. " in note


def test_lamps_of_one_white_are_not_told() -> None:
    other = {**LAMP, "name": "b", "at_cm": [25, -15, 43]}
    assert mixed_white_notes(as_placed(block(6, 6, 18), lamps=[LAMP, other])) == []
