"""Cards stand on the table, and are where they are wanted if any part of them is."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.geometry import axes_facing, direction_round
from scenes.setups.place_setup import place_setup
from scenes.setups.placed import PlacedSetup
from scenes.setups.placement.bodies import Bodies, axes_of
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import resolved
from tests.unit.scenes.setups.test_setup import FIGURE, box

BOARD = {"name": "board", "size_cm": [50, 70], "reflectance": "black poster board"}
PAPER = {"name": "paper", "size_cm": [21, 29.7], "reflectance": "white paper"}
SUBJECTS: dict[str, Any] = {"figure": FIGURE, "flat": [box("plate", (8, 18, 1), (0, 0, 0.5))]}


def placed(setup: str, subject: str, *cards: Any) -> PlacedSetup:
    declared = fill_model({"subject": {"mesh": "x"}, "cards": cards}, Arrangement, "test")
    return place_setup(setup, resolved(declared, subject_from_parts(subject, SUBJECTS[subject])))


@pytest.mark.parametrize("subject", SUBJECTS)
@pytest.mark.parametrize("cards", [(), (BOARD,)])
def test_a_flag_stands_on_the_table_upright_and_is_no_lack_however_large(subject: str, cards: Any) -> None:
    setup = placed("split", subject, *cards)
    (flag,) = setup.cards
    low = flag.at_cm[2] - np.abs(axes_facing(flag.facing)[2, :2] * flag.size_cm).sum() / 2
    assert setup.shortfalls == ()
    assert low == pytest.approx(0.5, abs=0.1)
    assert abs(flag.facing[2]) < 0.1


def test_a_card_below_the_frame_of_a_flat_model_lies_on_the_table() -> None:
    setup = placed("butterfly-card", "flat", PAPER)
    (card,) = setup.cards
    assert setup.shortfalls == ()
    assert card.at_cm[2] < 4
    assert card.facing[2] > 0.95


@pytest.mark.parametrize(("rise_deg", "off_deg"), [(0, 0), (30, 30 - 11.31), (-45, 45 - 11.31), (-90, 90 - 11.31)])
def test_a_board_is_as_far_off_a_direction_as_its_nearest_edge(rise_deg: float, off_deg: float) -> None:
    """A square of 4 cm at 10 cm: its edge is atan .2 = 11.31 degrees off its centre."""
    facing = np.array([[0.0, 1.0, 0.0]])
    board = Bodies(np.array([[0.0, -10.0, 0.0]]), axes_of(facing), np.array([[4.0, 4.0]]), is_ball=False)
    assert board.off_deg(np.zeros(3), direction_round(0, rise_deg))[0] == pytest.approx(off_deg, abs=0.01)
