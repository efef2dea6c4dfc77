"""Pieces of text and slots, as text and as plain data."""

from __future__ import annotations

from gallery.again.pieces import Slot, pieces_facts, text_of

PIECES = ("a = ", Slot("dimmer", "0.25", 1), "\nb = ", Slot("white_balance", '"auto"'), "\n")


def test_a_slot_has_its_initial_value_in_the_text() -> None:
    assert text_of(PIECES) == 'a = 0.25\nb = "auto"\n'


def test_a_slot_says_its_key_and_its_lamp() -> None:
    assert pieces_facts(PIECES) == [
        "a = ",
        {"slot": "dimmer", "lamp": 1, "initial": "0.25"},
        "\nb = ",
        {"slot": "white_balance", "initial": '"auto"'},
        "\n",
    ]
