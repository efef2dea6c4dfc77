"""What is unwise about a setup follows from how its lamps are placed, not from what it is called."""

from __future__ import annotations

from typing import Any

import pytest

from gallery.checks.setup import setup_warnings
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.placed import AS_PLACED
from scenes.setups.setup import setup_names
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import place
from tests.unit.scenes.setups.test_setup import FIGURE

PANEL = {"name": "panel", "size_cm": [6, 4], "at_cm": [-40, -30, 40], "aim_cm": [0, 0, 10]}


def warnings_of(setup: str = AS_PLACED, *, room: Any = None, cards: Any = (), **keys: Any) -> list[str]:
    """Return what is unwise about a setup round a figure, of a panel whose keys are changed."""
    stated = {"subject": {"mesh": "x"}, "lamps": [PANEL | keys], "cards": list(cards), "room": room or {}}
    declared = fill_model(stated, Arrangement, "test")
    return setup_warnings(place(setup, declared, subject_from_parts("figure", FIGURE)), declared.room)


def test_nothing_is_unwise_about_a_lamp_with_room_round_it() -> None:
    assert warnings_of() == []


@pytest.mark.parametrize(
    ("changes", "warning"),
    [
        ({"at_cm": [0, 20, 8]}, "the key (panel) stands in the frame: move it"),
        ({"at_cm": [0, -66, 19]}, "the key (panel) stands within 8 cm of the lens: move it"),
        ({"room": {"clear_cm": {"left": 35}}}, "the key (panel) stands beyond room.clear_cm: bring it"),
        ({"nearest_cm": 60}, "the key (panel) stands nearer to the model than its nearest_cm: move it"),
    ],
)
def test_a_constraint_that_a_lamp_fixed_by_hand_breaks_is_said_with_what_would_be_right(
    changes: dict[str, Any], warning: str
) -> None:
    (got,) = warnings_of(**changes)
    assert got.startswith(f"{AS_PLACED}: {warning}")
    assert " cm " in got.split(": ")[-1]


def test_a_diffuser_before_a_lamp_is_meant_to_be_there() -> None:
    card = {"size_cm": [20, 20], "at_cm": [-20, -15, 27], "facing": [1, 1, -0.7]}
    assert warnings_of(cards=[card | {"reflectance": "tracing paper"}]) == []


def test_a_key_too_near_is_said_with_the_distance_at_which_the_far_side_is_one_stop_under() -> None:
    """Stops are 2 log2 of far over near: lit from above, a figure 16.6 cm tall, h / (h - 16.6) = 2^(1/2)."""
    above: dict[str, Any] = {"at_cm": [0, 0, 26.6], "aim_cm": [0, 0, 10]}
    (got,) = [warning for warning in warnings_of(**above) if "far side" in warning]
    assert "2.8 stops under" in got
    hero_cm, height_cm = 13.8, 16.6
    assert f"{height_cm / (1 - 0.5**0.5) - hero_cm:.0f} cm from the hero it would be one stop" in got


@pytest.mark.parametrize("setup", setup_names())
def test_no_setup_is_warned_of_what_its_own_places_keep_to(setup: str) -> None:
    assert [warning for warning in warnings_of(setup) if "far side" in warning or "(panel)" in warning] == []
