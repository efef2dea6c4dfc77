"""Boards and papers by everyday words, and hints that keep their colour."""

from __future__ import annotations

import random
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.surface.board_class import board_class
from materials.surface.boards import board_finish, named_boards
from scenes.arrangement.cards.board_words import COLOUR_OF, find_board, nearest_board

CALLED = {called: name for name, board in named_boards().items() for called in (name, *board.also)}


@pytest.mark.parametrize("called", CALLED)
def test_a_board_goes_by_each_of_its_names_in_any_order_and_with_its_colour(called: str) -> None:
    name = CALLED[called]
    colour = COLOUR_OF[board_class(board_finish(name))]
    words = [*called.split(), colour]
    random.Random(1).shuffle(words)
    assert find_board(called) == find_board(called.upper()) == find_board(" ".join(words)) == name


def test_no_two_boards_share_a_name() -> None:
    names = Counter(frozenset(called.split()) for name, b in named_boards().items() for called in (name, *b.also))
    assert set(names.values()) == {1}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("printer paper", "white paper"),
        ("plain white printer paper", "white paper"),
        ("a sheet of copy paper", "white paper"),
        ("black foamboard", "black foam board"),
        ("Foamcore, black", "black foam board"),
        ("white foam-board", "foam board"),
        ("black cardstock", "black poster board"),
        ("aluminum foil", "silver foil"),
        ("gray card", "grey card"),
        ("black felt", "black cloth"),
        ("baking paper", "tracing paper"),
    ],
)
def test_everyday_words_name_a_board(text: str, name: str) -> None:
    assert find_board(text) == name


@pytest.mark.parametrize(
    "text", ["", "white", "black", "sheet", "black foil", "card", "white velvet", "red paper", "lace"]
)
def test_words_that_name_none_or_leave_it_open_name_no_board(text: str) -> None:
    assert find_board(text) is None


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("black foam bord", " (did you mean 'black foam board'?)"),
        ("back foam board", " (did you mean 'black foam board'?)"),
        ("sliver foil", " (did you mean 'silver foil'?)"),
        ("black velvett", " (did you mean 'black velvet'?)"),
        ("laser printer paper", " (did you mean 'white paper'?)"),
        ("black lace", " (there are: black poster board, black foam board, black cloth, black velvet)"),
        (
            "red card",
            '; a coloured one takes colour = "#c02020", and a card its size_cm too',
        ),
    ],
)
def test_a_hint_names_the_board_nearest_in_colour_and_stuff(text: str, hint: str) -> None:
    assert nearest_board(text) == hint


STUFF = sorted({word for called in CALLED for word in called.split()} - {*COLOUR_OF.values(), "%"})


@given(colour=st.sampled_from(["black", "white", "grey"]), stuff=st.lists(st.sampled_from(STUFF), max_size=3))
def test_neither_a_board_nor_a_hint_is_of_another_colour_than_the_one_stated(colour: str, stuff: list[str]) -> None:
    text = " ".join([colour, *stuff])
    found = find_board(text)
    named = [found] if found else [name for name in named_boards() if f"'{name}'" in nearest_board(text)]
    assert {COLOUR_OF[board_class(board_finish(name))] for name in named} <= {colour}
    assert named or " (there are: " in nearest_board(text)
