"""Which backdrop a setup that wants its own gets, and what it says where none is right."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.surface.board_class import board_class
from materials.surface.boards import board_finish, named_boards
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.backdrop_choice import BackdropChoice, choose_backdrop
from scenes.stage.backdrop import Sweep

SWEEP = Sweep(width_cm=40, front_cm=20, wall_cm=20, radius_cm=8, height_cm=14)
MATT = sorted(name for name, board in named_boards().items() if board.finish.kind == "matt")
BLACK = ("black cloth", "black poster board")
FOAM = {"name": "foam", "size_cm": [50, 70], "reflectance": "black foam board"}
VELVET = {"name": "velvet", "size_cm": [80, 80], "reflectance": "black velvet"}
SMALL = {"name": "small", "size_cm": [44, 28], "reflectance": "black velvet"}
WHITE = {"name": "white", "size_cm": [70, 100], "reflectance": "white poster board"}
LACK = (
    "wants a black backdrop of 45 x 29 cm or more: none of your cards is black and so large; "
    "any black cloth or board of that size does"
)


def choose(
    wanted: tuple[str | float, ...], *cards: dict[str, Any], size_cm: float = 18, **backdrop: Any
) -> BackdropChoice:
    arrangement = fill_model({"cards": list(cards), "backdrop": backdrop}, Arrangement, "test")
    sweep = None if arrangement.backdrop.kind == "none" else SWEEP
    return choose_backdrop(wanted, arrangement.backdrop, size_cm, sweep, arrangement.cards)


def named(choice: BackdropChoice) -> tuple[str, str | None, str | None]:
    return choice.board.board, choice.owned.name if choice.owned else None, choice.shortfall


@pytest.mark.parametrize(
    ("cards", "chosen"),
    [
        ((), ("black cloth", None, None)),
        ((FOAM,), ("black foam board", "foam", None)),
        ((FOAM, VELVET, WHITE), ("black velvet", "velvet", None)),  # nearest to the cloth
        ((SMALL, FOAM), ("black foam board", "foam", None)),
        ((WHITE,), ("black cloth", None, LACK)),
        ((SMALL,), ("black cloth", None, LACK)),
    ],
)
def test_a_black_backdrop_is_a_card_that_is_black_and_large_enough_or_said(
    cards: tuple[dict[str, Any], ...], chosen: tuple[str, str | None, str | None]
) -> None:
    assert named(choose(BLACK, *cards)) == chosen


def test_a_card_serves_as_far_as_its_size_goes() -> None:
    assert choose(BLACK, FOAM, size_cm=28).owned is not None
    assert choose(BLACK, FOAM, size_cm=28.1).owned is None  # 70 is less than 2.5 sizes
    square = {**FOAM, "size_cm": [50, 50]}
    assert choose(BLACK, square, size_cm=20).owned is not None
    assert choose(BLACK, {**square, "size_cm": [50, 31.9]}, size_cm=20).owned is None


@pytest.mark.parametrize("own", ["black velvet", 0.05, "black poster board"])
def test_the_backdrop_of_the_arrangement_serves_where_it_is_of_the_class(own: str | float) -> None:
    choice = choose(BLACK, VELVET, reflectance=own)
    assert (choice.board.finish, choice.owned, choice.shortfall) == (board_finish(own), None, None)


def test_boards_of_other_classes_serve_in_their_order() -> None:
    wanted = ("black cloth", "grey poster board")
    grey = {"name": "grey", "size_cm": [60, 90], "reflectance": 0.3}
    assert named(choose(wanted, grey, reflectance="white paper")) == ("30 % grey board", "grey", None)
    assert named(choose(wanted, grey, VELVET, reflectance="white paper")) == ("black velvet", "velvet", None)
    assert named(choose(wanted, WHITE, reflectance=0.18)) == ("18 % grey board", None, None)


@pytest.mark.parametrize(("wanted", "kind"), [((), "sweep"), (BLACK, "none")])
def test_where_no_board_is_wanted_or_there_is_no_backdrop_it_stays_the_arrangements_own(
    wanted: tuple[str, ...], kind: str
) -> None:
    assert named(choose(wanted, VELVET, kind=kind, reflectance=0.4)) == ("40 % grey board", None, None)


def test_a_card_smaller_than_the_sheet_that_is_drawn_is_said() -> None:
    assert SWEEP.length_cm == pytest.approx(50.6, abs=0.05)
    assert choose(BLACK, {**FOAM, "size_cm": [40, 50.6]}).shortfall is None
    lack = "wants a black sheet of 40 x 51 cm under and behind the model: 'foam' of 50.6 x 39 cm covers less; stand it "
    lack += "behind and lay any black cloth or card in front"
    assert named(choose(BLACK, {**FOAM, "size_cm": [50.6, 39]})) == ("black foam board", "foam", lack)


def test_a_trifold_serves_by_its_size_laid_flat() -> None:
    wings = {"name": "trifold", "size_cm": [22, 42], "reflectance": 0.05, "trifold": {"wing_cm": 15}}
    assert named(choose(BLACK, wings)) == ("5 % black board", "trifold", None)


@given(
    wanted=st.lists(st.sampled_from(MATT), min_size=1, max_size=3), own=st.sampled_from(MATT),
    boards=st.lists(st.tuples(st.sampled_from(sorted(named_boards())), st.floats(5, 150), st.floats(5, 150))),
    size_cm=st.floats(2, 60),
)  # fmt: skip
def test_a_backdrop_is_of_a_class_that_is_wanted_and_what_is_not_owned_is_said(
    wanted: list[str], own: str, boards: list[tuple[str, float, float]], size_cm: float
) -> None:
    cards = [{"size_cm": [w, h], "reflectance": board} for board, w, h in boards[:8]]
    choice = choose(tuple(wanted), *cards, size_cm=size_cm, reflectance=own)
    assert board_class(choice.board.finish) in {board_class(board_finish(board)) for board in wanted}
    if choice.owned is not None:
        assert max(choice.owned.size_cm) >= 2.5 * size_cm
    is_own = choice.board.finish == board_finish(own)
    assert is_own or choice.owned is not None or (choice.shortfall is not None) == bool(cards)
