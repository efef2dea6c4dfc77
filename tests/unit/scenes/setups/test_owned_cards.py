"""Setups put up with the cards that a person owns: backdrop first, then cards, each once, and what is missing said."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from materials.surface.boards import board_finish
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.placed import PlacedSetup
from scenes.setups.setup import setup_names
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import place

from .test_setup import FIGURE

HURRIED = ["A4 white paper", "A4 white paper", "black foam board", "kitchen foil"]


def put(name: str, *cards: Any, **backdrop: Any) -> PlacedSetup:
    arrangement = fill_model({"cards": list(cards), "backdrop": backdrop}, Arrangement, "test")
    return place(name, arrangement, subject_from_parts("figure", FIGURE))


def of_boards(setup: PlacedSetup) -> list[str]:
    return [lack for lack in setup.shortfalls if lack.startswith("wants a") and ("card" in lack or "backdrop" in lack)]


def test_a_setup_takes_the_cards_owned_at_their_own_size() -> None:
    high_key = put("high-key", *HURRIED, reflectance="white paper")
    assert [sorted(card.size_cm) for card in high_key.cards] == [[21, 29.7], [21, 29.7]]
    assert [card.board for card in high_key.cards] == ["white paper", "white paper"]
    assert of_boards(high_key) == []


def test_the_backdrop_takes_its_card_before_the_flag_does() -> None:
    low_key = put("low-key", *HURRIED)
    assert (low_key.backdrop_board, low_key.backdrop) == ("black foam board", board_finish("black foam board"))
    assert [card.board for card in low_key.cards] == ["black poster board"]
    smaller, flag = of_boards(low_key)
    assert "'black foam board' of 50 x 70 cm covers less" in smaller
    assert flag.endswith("all of yours are in use; any black cloth or card does")


def test_a_cloth_is_the_backdrop_and_the_card_nearest_in_size_the_flag() -> None:
    low_key = put("low-key", *HURRIED, "black cloth", "A4 black card")
    assert (low_key.backdrop_board, [sorted(card.size_cm) for card in low_key.cards]) == ("black cloth", [[21, 29.7]])
    assert of_boards(low_key) == []


def test_an_arrangement_of_that_class_keeps_its_backdrop_and_the_card_is_free() -> None:
    low_key = put("low-key", *HURRIED, reflectance="black velvet")
    assert low_key.backdrop_board == "black velvet"
    assert [sorted(card.size_cm) for card in low_key.cards] == [[50, 70]]


@pytest.mark.parametrize("name", setup_names())
def test_without_cards_of_ones_own_nothing_is_said_of_any(name: str) -> None:
    assert of_boards(put(name)) == []


@pytest.mark.parametrize("name", setup_names())
def test_no_setup_puts_up_more_cards_than_owned_without_a_word(name: str) -> None:
    setup = put(name, *HURRIED)
    owned = Counter({"white paper": 2, "black foam board": 1, "silver foil": 1})
    used = Counter(card.board for card in setup.cards)
    used[setup.backdrop_board] += setup.backdrop_board in owned
    assert (used - owned - Counter({setup.backdrop_board: 1})).total() <= len(of_boards(setup))
