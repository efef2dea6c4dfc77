"""Cards at their places, and how a trifold unfolds."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.cards.placed_card import PlacedCard, placed_cards
from scenes.arrangement.reading import fill_model
from scenes.geometry import axes_facing, corners

CARD = {"size_cm": [30, 20], "at_cm": [10, 40, 12], "facing": [0.3, -1, 0]}
LEVEL = [(0, -1, 0), (1, 0, 0), (-1, 0, 0), (0.3, -1, 0)]


def boards(open_deg: float, facing: Any = CARD["facing"], wing_cm: float = 12) -> tuple[PlacedCard, ...]:
    return unfolded(facing=facing, trifold={"wing_cm": wing_cm, "open_deg": open_deg})


def unfolded(**keys: Any) -> tuple[PlacedCard, ...]:
    return placed_cards(fill_model({"cards": [{**CARD, **keys}]}, Arrangement, "test").cards)


def rim(board: PlacedCard) -> Any:
    return corners(board.at_cm, board.facing, board.size_cm)


def test_a_flat_card_is_one_board_at_its_place() -> None:
    (board,) = unfolded(colour="#c02020")
    assert (board.size_cm, board.at_cm, board.facing, board.colour) == ((30, 20), (10, 40, 12), (0.3, -1, 0), "#c02020")


def test_a_card_without_a_place_stands_nowhere() -> None:
    owned = {"size_cm": [21, 29.7]}
    cards = fill_model({"cards": [owned, CARD]}, Arrangement, "test").cards
    assert [card.size_cm for card in placed_cards(cards)] == [(30, 20)]


@pytest.mark.parametrize("facing", LEVEL)
@given(open_deg=st.floats(45, 180), wing_cm=st.floats(1, 50))
def test_wings_hinge_on_the_edges_of_the_middle(facing: Any, open_deg: float, wing_cm: float) -> None:
    middle, *wings = boards(open_deg, facing, wing_cm)
    left, right = rim(middle)[[0, 3]], rim(middle)[[1, 2]]
    for wing, edge in zip(wings, (left, right), strict=True):
        apart = np.linalg.norm(rim(wing)[:, None] - edge, axis=-1)
        assert np.sort(apart.min(axis=0)) == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("facing", LEVEL)
@given(open_deg=st.floats(45, 179))
def test_wings_come_forward_and_look_inward(facing: Any, open_deg: float) -> None:
    middle, *wings = boards(open_deg, facing)
    width, _, normal = axes_facing(facing).T
    for wing, side in zip(wings, (-1, 1), strict=True):
        away = np.subtract(wing.at_cm, middle.at_cm)
        assert away @ normal > 0
        assert side * (away @ width) > 0
        # the middle of the middle board, and whatever stands before it, is on the wing's bright side
        assert np.dot(wing.facing, -away) > 0


@given(open_deg=st.floats(45, 180))
def test_between_wing_and_middle_is_the_angle_asked_for(open_deg: float) -> None:
    middle, *wings = boards(open_deg)
    width = axes_facing(middle.facing)[:, 0]
    for wing, side in zip(wings, (-1, 1), strict=True):
        hinge = np.asarray(middle.at_cm) + side * middle.size_cm[0] / 2 * width
        cosine = np.dot(np.subtract(wing.at_cm, hinge) / (wing.size_cm[0] / 2), -side * width)
        assert cosine == pytest.approx(np.cos(np.radians(open_deg)), abs=1e-9)


@pytest.mark.parametrize("facing", LEVEL)
def test_open_all_the_way_it_is_one_flat_board(facing: Any) -> None:
    middle, *wings = boards(180, facing)
    whole = middle.model_copy(update={"size_cm": (30 + 2 * 12, 20)})
    left, right = (rim(wing) for wing in wings)
    assert np.array([left[0], right[1], right[2], left[3]]) == pytest.approx(rim(whole), abs=1e-9)
    assert np.array([w.facing for w in wings]) == pytest.approx(np.tile(axes_facing(facing)[:, 2], (2, 1)), abs=1e-9)


def test_wings_are_of_the_same_board_and_unfold_no_further() -> None:
    _, *wings = unfolded(reflectance="silver foil", name="trio", trifold={"wing_cm": 12})
    assert [(w.name, w.reflectance, w.size_cm, w.unfolded()) for w in wings] == [
        ("trio wing", "silver foil", (12, 20), (w,)) for w in wings
    ]
