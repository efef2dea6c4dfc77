"""Lamps and cards that would overlap, alone and in what is placed by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from scenes.errors import InputError
from scenes.setups.place import Place
from scenes.setups.placed import PlacedSetup
from scenes.setups.placement.collisions import Body, card_body, collisions, lamp_body
from tests.support.arrangements import lamp
from tests.unit.scenes.arrangement.cards.test_placed_card import unfolded
from tests.unit.scenes.setups.test_placed import BULB, PANEL, placed_by_hand

BESIDE = {**PANEL, "name": "other"}


def board(name: str, at: Any, facing: Any, size: tuple[float, float] = (20.0, 20.0)) -> Body:
    return Body(name, at, facing, size)


def ball(name: str, at: Any, diameter: float = 6) -> Body:
    return Body(name, at, (0, 0, 1), (diameter, diameter), is_ball=True)


def refusal(*lamps: dict[str, Any], **keys: Any) -> str:
    with pytest.raises(InputError) as caught:
        placed_by_hand(*lamps, **keys)
    return str(caught.value)


def put(*lamps: dict[str, Any], **keys: Any) -> PlacedSetup:
    return placed_by_hand(*lamps, **keys)


APART = {
    "side by side": (board("a", (0, 0, 0), (0, 1, 0)), board("b", (20.5, 0, 0), (0, 1, 0))),
    "one before the other": (board("a", (0, 0, 0), (0, 1, 0)), board("b", (0, 0.5, 0), (0, 1, 0))),
    "past its edge": (board("a", (0, 0, 0), (0, 1, 0)), board("b", (10.5, 0, 0), (1, 0, 0))),
    "ball before a board": (board("a", (0, 0, 0), (0, 1, 0)), ball("b", (0, 3.5, 0))),
    "ball past a corner": (board("a", (0, 0, 0), (0, 1, 0)), ball("b", (12.5, 0, 12.5))),
    "two balls": (ball("a", (0, 0, 0)), ball("b", (6.5, 0, 0))),
}
TOUCHING = {
    "one on the other": (board("a", (0, 0, 0), (0, 1, 0)), board("b", (5, 0.1, 0), (0, 1, 0))),
    "crossing in a T": (board("a", (0, 0, 0), (0, 1, 0)), board("b", (3, 10, 0), (1, 0, 0))),
    "crossing in an X": (board("a", (0, 0, 0), (0, 1, 0)), board("b", (0.17, 0.17, 0), (1, 0, 0))),
    "crossing askew": (board("a", (0, 0, 0), (0, 1, 0)), board("b", (0, 0, 0), (1, 1, 1))),
    "ball through a board": (board("a", (0, 0, 0), (0, 1, 0)), ball("b", (0, 2.5, 0))),
    "small board within a ball": (board("a", (0, 0, 0), (0, 1, 0), (1, 1)), ball("b", (0, 1, 0))),
    "small ball on a large board": (board("a", (0, 0, 0), (0, 1, 0), (60, 60)), ball("b", (0.5, 0, 0.5), 0.4)),
    "two balls": (ball("a", (0, 0, 0)), ball("b", (5.5, 0, 0))),
    "ball within a ball": (ball("a", (0, 0, 0), 10), ball("b", (0, 0, 0), 2)),
}


@pytest.mark.parametrize("case", APART)
def test_what_stands_apart_is_left_alone(case: str) -> None:
    one, other = APART[case]
    assert [*collisions([one, other], []), *collisions([other], [one])] == []


@pytest.mark.parametrize("case", TOUCHING)
def test_what_stands_in_one_another_is_told_whichever_comes_first(case: str) -> None:
    one, other = TOUCHING[case]
    assert [
        len(list(collisions(*bodies))) for bodies in (([one, other], []), ([other, one], []), ([one], [other]))
    ] == [
        1, 1, 1,
    ]  # fmt: skip


@pytest.mark.parametrize("size", [30.0, 40.0, 60.0])
def test_large_boards_that_cross_are_told_wherever_they_do(size: float) -> None:
    off = size / 120  # between two points of either
    crossing = board("a", (0, 0, 0), (1, 0, 0), (size, size)), board("b", (off, off, 0), (0, 1, 0), (size, size))
    assert len(list(collisions(crossing, []))) == 1


def test_the_sentence_names_both_and_the_place() -> None:
    told = list(collisions([board("lamp 'a'", (1.5, 0, 20), (0, 1, 0))], [board("card 'b'", (1.5, 0, 20), (0, 1, 0))]))
    assert told == ["lamp 'a' and card 'b' overlap at [1.5, 0, 20] cm; move one clear"]


def test_cards_may_meet() -> None:
    assert list(collisions([], list(map(card_body, unfolded(trifold={"wing_cm": 9}))))) == []


def test_a_lamp_takes_up_what_shines_of_it_and_a_bulb_all_round() -> None:
    place = Place((1, 2, 3), (1, -8, 3))
    panel = lamp_body(lamp(size_cm=[20, 14]), place)
    bulb = lamp_body(lamp(kind="bulb", diameter_cm=6), place)
    assert (panel.name, panel.facing, panel.size_cm, panel.is_ball) == ("lamp 'a'", (0, -1, 0), (20, 14), False)
    assert np.linalg.norm(bulb.points() - [1, 2, 3], axis=1) == pytest.approx(3)
    assert np.ptp(panel.points(), axis=0) == pytest.approx([20, 0, 14])


def test_lamps_placed_by_hand_in_one_another_are_refused() -> None:
    told = "test.toml: lamp 'panel' and lamp 'other' overlap at [-20, -30, 40] cm; move one clear"
    assert refusal(PANEL, BESIDE) == told
    assert len(put(PANEL, {**BESIDE, "at_cm": [20, -30, 40]}).lamps) == 2


def test_a_card_within_a_lamp_placed_by_hand_is_refused() -> None:
    within = {"name": "bounce", "size_cm": [10, 10], "at_cm": [25, 0, 12], "facing": [-1, 0, 0]}
    assert refusal(BULB, cards=[within]) == (
        "test.toml: lamp 'bulb' and card 'bounce' overlap at [25, 0, 12] cm; move one clear"
    )
    assert put(BULB, cards=[{**within, "at_cm": [29, 0, 12]}]).cards


def test_a_lamp_in_the_wing_of_a_trifold_is_refused() -> None:
    trio = {"name": "trio", "size_cm": [20, 20], "at_cm": [-12, 15, 14], "facing": [0, -1, 0]}
    at_wing = {**BULB, "at_cm": [10, 8, 14]}  # 10 cm along a wing, from its hinge at [-2, 15]
    assert put(at_wing, cards=[trio]).cards
    told = refusal(at_wing, cards=[{**trio, "trifold": {"wing_cm": 25, "open_deg": 150}}])
    assert told.startswith("test.toml: lamp 'bulb' and card 'trio wing' overlap")


@pytest.mark.parametrize(
    ("at", "aim", "told"),
    [
        ((30, -30, 2), (30, -30, -10), "below the table"),
        ((0, 0, 18.5), (0, 0, 0), "inside the subject"),
    ],
    ids=["half in the table", "round the top of a head"],
)
def test_a_bulb_takes_room_all_round(at: Any, aim: Any, told: str) -> None:
    assert told in refusal({**BULB, "at_cm": at, "aim_cm": aim})
