"""What is unwise about a setup follows from how its lamps stand, not from what it is called."""

from __future__ import annotations

from gallery.checks.setup import setup_warnings
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.place_setup import place_loaded_setup
from scenes.setups.placed import PlacedSetup
from scenes.setups.setup import Setup, load_setup
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import resolved
from tests.unit.scenes.setups.test_setup import FIGURE, box

IN_FRAME = "stands in the frame"


def stood(setup: Setup, name: str, *, behind: bool = True) -> PlacedSetup:
    """Return a setup put up round a figure that hides a small lamp, or round a rod that hides none."""
    subject = subject_from_parts("model", FIGURE if behind else [box("rod", (0.4, 0.4, 16), (0, 0, 8))])
    declared = fill_model({"subject": {"mesh": "x"}}, Arrangement, "test")
    return place_loaded_setup(setup, name, resolved(declared, subject))


def frame_warnings(placed: PlacedSetup) -> list[str]:
    return [warning for warning in setup_warnings(placed) if IN_FRAME in warning]


def test_a_lamp_that_the_subject_hides_is_no_warning_under_any_name() -> None:
    placed = stood(load_setup("rim"), "my own")
    assert [lamp.hidden for lamp in placed.lamps] == [True]
    assert frame_warnings(placed) == []


def test_a_lamp_in_sight_is_warned_of_under_every_name() -> None:
    rim = load_setup("rim")
    seen = rim.model_copy(
        update={"lamps": tuple(lamp.model_copy(update={"out_of_frame": "leave"}) for lamp in rim.lamps)}
    )
    for name in ("rim", "rim-fill", "my own"):
        placed = stood(seen, name)
        assert [lamp.hidden for lamp in placed.lamps] == [False]
        assert frame_warnings(placed) == [f"{name}: the rim ({placed.lamps[0].name}) {IN_FRAME}"]


def test_a_lamp_that_found_no_hiding_place_is_not_said_to_be_hidden() -> None:
    assert [lamp.hidden for lamp in stood(load_setup("rim"), "rim", behind=False).lamps] == [False]
