"""Which of the cards owned a setup takes, and what it says where none is right."""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.surface.board_class import board_class
from materials.surface.boards import named_boards
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.cards.card_model import CardModel
from scenes.arrangement.reading import fill_model
from scenes.setups.card_choice import CardChoice, choose_cards
from scenes.setups.setup import Setup, SetupCard

SUBJECT_CM = 18.0
A4 = {"name": "A4", "size_cm": [21, 29.7], "reflectance": "white paper"}
A3 = {"name": "A3", "size_cm": [29.7, 42], "reflectance": "white paper"}
FOAM = {"name": "foam", "size_cm": [70, 50], "reflectance": "foam board"}
BLACK = {"name": "black", "size_cm": [30, 40], "reflectance": "black poster board"}
FOIL = {"name": "foil", "size_cm": [30, 30], "reflectance": "silver foil"}
TRIFOLD = {"name": "trifold", "size_cm": [20, 30], "trifold": {"wing_cm": 11}}

BOARDS = st.sampled_from(sorted(named_boards()))
OWNED = st.builds(
    lambda width, height, board: CardModel(size_cm=(width, height), reflectance=board),
    st.floats(1, 150), st.floats(1, 150), BOARDS,
)  # fmt: skip
WANTED = st.builds(
    lambda width, height, board: SetupCard(role="card", size=(width, height), reflectance=board),
    st.floats(0.1, 4), st.floats(0.1, 4), BOARDS,
)  # fmt: skip


def owned(*cards: dict[str, Any]) -> tuple[CardModel, ...]:
    return fill_model({"cards": list(cards)}, Arrangement, "test").cards


def wanted(*cards: tuple[str, float, float]) -> tuple[SetupCard, ...]:
    tables = [{"role": f"card {i + 1}", "size": [w, h], "reflectance": board} for i, (board, w, h) in enumerate(cards)]
    return fill_model({"reads_as": "test", "lamps": [{"role": "key"}], "cards": tables}, Setup, "test").cards


def choose(
    cards: tuple[SetupCard, ...], *own: dict[str, Any], subject_cm: float = SUBJECT_CM
) -> tuple[CardChoice, ...]:
    return choose_cards(cards, subject_cm, owned(*own))


BOUNCE = ("white paper", 2.33, 1.65)
FLAG = ("black poster board", 1.2, 1.6)


@pytest.mark.parametrize(("own", "taken"), [((A4, A3, FOAM), "A3"), ((FOAM, A4), "A4"), ((FOAM,), "foam")])
def test_the_card_of_the_class_that_is_nearest_in_size_is_taken(own: tuple[dict[str, Any], ...], taken: str) -> None:
    choices = choose(wanted(BOUNCE), *own)
    assert [(choice.owned and choice.owned.name, choice.shortfall) for choice in choices] == [(taken, None)]


def test_it_is_turned_whichever_way_is_nearer_and_is_put_up_whole() -> None:
    choices = choose(wanted(BOUNCE, ("white paper", 1.0, 2.0)), A3, A4)
    assert [choice.card.size_cm for choice in choices] == [(42, 29.7), (21, 29.7)]


@pytest.mark.parametrize(("size", "turned"), [((1.2, 1.6), (50, 70)), ((1.6, 1.2), (70, 50))])
def test_one_larger_than_wanted_both_ways_keeps_the_way_that_is_wanted(
    size: tuple[float, float], turned: tuple[float, float]
) -> None:
    assert [choice.card.size_cm for choice in choose(wanted(("foam board", *size)), FOAM)] == [turned]


def test_a_trifold_is_laid_flat() -> None:
    (choice,) = choose(wanted(BOUNCE), TRIFOLD)
    assert (choice.card.size_cm, choice.card.trifold) == ((42, 30), None)


def test_of_two_alike_each_serves_once_and_the_third_is_generic_and_said() -> None:
    first, second, third = choose(wanted(*[("white poster board", 1.6, 1.6)] * 3), A4, A4)
    assert first.owned == second.owned == owned(A4)[0]
    assert (first.shortfall, second.shortfall, third.owned) == (None, None, None)
    assert third.shortfall == (
        "wants a white card of about 29 x 29 cm: all of yours are in use; any white paper or card does"
    )


def test_a_card_that_is_taken_already_is_left_out() -> None:
    (choice,) = choose_cards(wanted(FLAG), SUBJECT_CM, owned(BLACK), owned(BLACK))
    assert choice.owned is None


@pytest.mark.parametrize(
    ("card", "own", "size", "none", "remedy"),
    [
        (FLAG, A4, "a black card of about 22 x 29 cm", "black", "any black cloth or card does"),
        (BOUNCE, BLACK, "a white card of about 42 x 30 cm", "white", "any white paper or card does"),
        (
            ("silver foil", 0.5, 0.4), A4, "a card of foil of about 9 x 7 cm", "of foil",
            "kitchen foil on a card does",
        ),
        (
            ("tracing paper", 1, 1), FOIL, "a diffuser of about 18 x 18 cm", "a diffuser",
            "tracing paper or thin white cloth does",
        ),
        (("grey card", 1, 1), A4, "a grey card of about 18 x 18 cm", "grey", "any grey card does"),
    ],
)  # fmt: skip
def test_what_is_not_owned_is_generic_and_said_with_what_serves(
    card: tuple[str, float, float], own: dict[str, Any], size: str, none: str, remedy: str
) -> None:
    (choice,) = choose(wanted(card), own)
    assert choice.shortfall == f"wants {size}: none of your cards is {none}; {remedy}"
    assert (choice.card.reflectance, choice.card.size_cm) == (card[0], (card[1] * 18, card[2] * 18))


def test_a_card_of_less_than_a_third_of_the_area_is_taken_and_said() -> None:
    (small,) = choose_cards(wanted(BOUNCE), 30, owned(A4))
    assert small.owned == owned(A4)[0]
    assert small.shortfall == (
        "wants a white card of about 70 x 50 cm: 'A4' of 29.7 x 21 cm is the nearest of yours and does less"
    )
    assert [choice.shortfall for choice in choose_cards(wanted(BOUNCE), 20, owned(A4))] == [None]


@given(cards=st.lists(WANTED, min_size=1, max_size=4), subject_cm=st.floats(2, 100))
def test_where_no_card_is_declared_generic_ones_are_taken_without_a_word(
    cards: list[SetupCard], subject_cm: float
) -> None:
    for card, choice in zip(cards, choose_cards(cards, subject_cm, ()), strict=True):
        assert (choice.owned, choice.shortfall, choice.card.reflectance) == (None, None, card.reflectance)


@given(card=WANTED, subject_cm=st.floats(0.5, 500))
def test_a_generic_card_is_of_the_shape_wanted_and_no_larger_than_a_sheet_of_poster_board(
    card: SetupCard, subject_cm: float
) -> None:
    (choice,) = choose_cards([card], subject_cm, ())
    width, height = choice.card.size_cm
    assert max(width, height) <= 100 * (1 + 1e-9)
    assert min(width, height) <= 70 * (1 + 1e-9)
    assert width / height == pytest.approx(card.size[0] / card.size[1])
    is_as_wanted = width == pytest.approx(card.size[0] * subject_cm)
    assert is_as_wanted or max(width, height) == pytest.approx(100) or min(width, height) == pytest.approx(70)


@given(
    cards=st.lists(WANTED, min_size=1, max_size=4), own=st.lists(OWNED, min_size=1, max_size=6),
    subject_cm=st.floats(2, 100),
)  # fmt: skip
def test_no_card_is_larger_than_one_owned_nor_of_another_class_without_a_word_and_each_is_used_once(
    cards: list[SetupCard], own: list[CardModel], subject_cm: float
) -> None:
    choices = choose_cards(cards, subject_cm, own)
    used = Counter(choice.owned for choice in choices if choice.owned)
    assert used <= Counter(own)
    for card, choice in zip(cards, choices, strict=True):
        assert board_class(choice.card.finish) == board_class(named_boards()[str(card.reflectance)].finish)
        if choice.owned is None:
            assert choice.shortfall is not None
        else:
            assert sorted(choice.card.size_cm) == sorted(choice.owned.size_cm)
            (generic,) = choose_cards([card], subject_cm, ())
            is_small = math.prod(choice.card.size_cm) < math.prod(generic.card.size_cm) / 3
            assert (choice.shortfall is not None) == is_small


def test_a_choice_is_placed_under_its_role() -> None:
    (choice,) = choose(wanted(FLAG), {"name": "mine", "size_cm": [20, 30], "colour": "#101018"})
    placed = choice.placed((1, 2, 3), (0, -1, 0))
    assert (placed.name, placed.size_cm, placed.at_cm, placed.facing) == ("card 1", (20, 30), (1, 2, 3), (0, -1, 0))
    assert placed.finish == owned({"size_cm": [20, 30], "colour": "#101018"})[0].finish
