"""Cards by everyday words, in place of tables."""

from __future__ import annotations

import contextlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.surface.boards import named_boards
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.cards.card_model import CardModel
from scenes.arrangement.cards.paper_sizes import paper_sizes
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError


def cards(*declared: Any) -> tuple[CardModel, ...]:
    return fill_model({"cards": list(declared)}, Arrangement, "test").cards


def test_a_hurried_list_of_cards_is_as_good_as_tables() -> None:
    hurried = cards(
        "A4 white paper", "A4 white paper", "black foam board", {"size_cm": "A3", "reflectance": "kitchen foil"}
    )
    assert [(card.name, card.size_cm, card.reflectance) for card in hurried] == [
        ("A4 white paper", (21, 29.7), "white paper"),
        ("A4 white paper", (21, 29.7), "white paper"),
        ("black foam board", (50, 70), "black foam board"),
        ("card", (29.7, 42), "silver foil"),
    ]
    assert all(card.at_cm is None for card in hurried)


@pytest.mark.parametrize(
    ("words", "size", "board"),
    [
        ("white A4 paper", (21, 29.7), "white paper"),
        ("Letter printer paper", (21.59, 27.94), "white paper"),
        ("A3 black card", (29.7, 42), "black poster board"),
        ("30 x 40 cm black foam board", (30, 40), "black foam board"),
        ("black foam board, 30x40cm", (30, 40), "black foam board"),
        ("300 \u00d7 400 mm white card", (30, 40), "white poster board"),
        ("20 x 30 in foam board", (50.8, 76.2), "foam board"),
        ("8.5 x 11 inch copy paper", (21.59, 27.94), "white paper"),
        ("29,7 x 42 cm drawing paper", (29.7, 42), "cartridge paper"),
    ],
)
def test_size_and_board_stand_in_any_order(words: str, size: tuple[float, float], board: str) -> None:
    assert [(card.size_cm, card.reflectance) for card in cards(words)] == [(size, board)]


@pytest.mark.parametrize("name", named_boards())
def test_without_a_size_it_is_the_usual_sheet_of_its_board(name: str) -> None:
    assert [card.size_cm for card in cards(name)] == [named_boards()[name].usual_cm]


@given(paper=st.sampled_from(sorted(paper_sizes())), board=st.sampled_from(sorted(named_boards())))
def test_any_paper_size_goes_with_any_board(paper: str, board: str) -> None:
    stated, reversed_ = cards(f"{paper} {board}", f"{board} {paper}")
    assert (stated.size_cm, stated.reflectance) == (paper_sizes()[paper], board)
    assert (reversed_.size_cm, reversed_.reflectance) == (paper_sizes()[paper], board)


@pytest.mark.parametrize(
    ("words", "refusal"),
    [
        (
            "A4 black foil",
            " = \"A4 black foil\": no board or paper is called 'black foil' "
            "(there are: black poster board, black foam board, black cloth, black velvet)",
        ),
        ("foam bord", ": no board or paper is called 'foam bord' (did you mean 'foam board'?)"),
        ("A4", " = \"A4\": it names no board or paper; write it as 'A4 white paper'"),
        ("A4 A3 paper", " = \"A4 A3 paper\": it names two sizes; keep one, as 'A4 white paper'"),
        ("30x40 black card", " = \"30x40 black card\": say the unit of 30 x 40, as '30 x 40 cm'"),
        ("5000 x 20 cm white paper", ".size_cm[1] = 5000.0: should be 2000 or less"),
    ],
)
def test_words_that_make_no_card_are_refused(words: str, refusal: str) -> None:
    with pytest.raises(InputError) as caught:
        cards(words)
    assert str(caught.value) == f"test: cards[1]{refusal}"


@given(st.text(max_size=60))
def test_any_text_is_a_card_of_that_name_or_refused(words: str) -> None:
    with contextlib.suppress(InputError):
        assert [card.name for card in cards(words)] == [words]


def test_the_schema_takes_a_table_or_words() -> None:
    items = Arrangement.model_json_schema()["properties"]["cards"]["items"]["anyOf"]
    assert items == [{"$ref": "#/$defs/CardModel"}, {"type": "string"}]
