"""The line of the cards owned."""

from __future__ import annotations

from typing import Any

from gallery.checks.cards import card_facts, card_lines
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model


def facts(*cards: Any) -> list[dict[str, Any]]:
    return card_facts(fill_model({"cards": list(cards)}, Arrangement, "test").cards)


def test_each_card_is_said_with_the_size_that_it_is_taken_for_and_alike_ones_are_counted() -> None:
    cards = facts("A4 white paper", "A4 white paper", "black foam board", {"size_cm": [9, 9], "colour": "#c02020"})
    assert card_lines(cards) == [
        "cards for setups: 2 of white paper 21 x 29.7 cm, black foam board 50 x 70 cm, #c02020 board 9 x 9 cm"
    ]


def test_as_data_each_has_its_name_size_and_board() -> None:
    assert facts("A4 copy paper") == [{"name": "A4 copy paper", "size_cm": [21, 29.7], "board": "white paper"}]


def test_without_cards_there_is_no_line() -> None:
    assert card_lines(facts()) == []
