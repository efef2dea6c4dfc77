"""A setup as it applies to a kind of subject: what turns, what is mirrored, what the lamps count from."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.geometry import round_and_rise
from scenes.setups.facing import applied_setup, built_in_facings_deg, facing_deg
from scenes.setups.place_setup import place_setup
from scenes.setups.placed import PlacedSetup
from scenes.setups.setup import Setup, load_setup, setup_names
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.kind import SubjectKind
from tests.support.arrangements import place, resolved

from .test_setup import FIGURE, box

FACED: tuple[SubjectKind, ...] = ("figure", "bust")
FACELESS: tuple[SubjectKind, ...] = ("vehicle", "aircraft", "ship", "object")
CAR = [box("body", (7, 18, 3), (0, 0, 2)), box("cabin", (6, 8, 2), (0, 2, 4.5))]
TURNING: Setup = fill_model(
    {
        "reads_as": "turned",
        "turn_deg": 35,
        "lamps": [
            {"role": "key", "round_deg": -65},
            {"role": "back", "round_deg": 170},
            {"role": "rim", "round_deg": 150, "from_camera": True},
        ],
        "cards": [{"role": "flag", "round_deg": 90, "size": [1, 1], "reflectance": 0.1}],
    },
    Setup,
    "test",
)


def round_degs(setup: Setup) -> list[float]:
    return [placement.round_deg for placement in (*setup.lamps, *setup.cards)]


def placed(name: str, parts: Any = CAR, **subject: Any) -> PlacedSetup:
    return place(name, declared(**subject), subject_from_parts("model", parts))


def declared(**subject: Any) -> Arrangement:
    table = {"subject": {"mesh": "x", **subject}, "backdrop": {"kind": "none"}}
    return fill_model(table, Arrangement, "test")


def key_round_deg(setup: PlacedSetup) -> float:
    return round_and_rise(np.subtract(setup.lamps[0].place.at_cm, setup.lamps[0].place.aim_cm))[0]


@pytest.mark.parametrize("kind", FACED)
def test_a_face_is_turned_farther_to_the_side_that_it_looks_to(kind: SubjectKind) -> None:
    right, left = applied_setup(TURNING, kind, 20), applied_setup(TURNING, kind, -20)
    assert right == applied_setup(TURNING, kind, 0) == TURNING
    assert left == TURNING.mirrored()
    assert (facing_deg(right, 20), facing_deg(left, -20)) == (35, -35)


@pytest.mark.parametrize("kind", FACED)
def test_a_setup_that_turns_no_face_is_the_same_whichever_way_it_looks(kind: SubjectKind) -> None:
    loop = load_setup("loop")
    assert applied_setup(loop, kind, -20) == loop
    assert facing_deg(loop, -20) == -20


@pytest.mark.parametrize("kind", FACELESS)
def test_what_has_no_face_is_never_turned_and_the_lamps_go_round_instead(kind: SubjectKind) -> None:
    applied = applied_setup(TURNING, kind, 40)
    assert round_degs(applied) == pytest.approx([-30, -155, 150, 125])
    assert facing_deg(applied, 40) == 40


@pytest.mark.parametrize("kind", FACELESS)
@pytest.mark.parametrize("name", setup_names())
def test_a_nose_to_camera_left_mirrors_lamps_and_cards(kind: SubjectKind, name: str) -> None:
    setup = load_setup(name)
    right, left = applied_setup(setup, kind, 40), applied_setup(setup, kind, -40)
    assert round_degs(left) == [-degrees for degrees in round_degs(right)]


def test_every_direction_of_a_face_in_the_setups_that_come_along_is_known() -> None:
    assert built_in_facings_deg("figure", 0) == (0, 35)
    assert built_in_facings_deg("bust", 15) == (15, 35)
    assert built_in_facings_deg("figure", -20) == (-35, -20)
    assert built_in_facings_deg("vehicle", 40) == (40,)


def test_the_key_of_a_vehicle_counts_from_the_camera_and_that_of_a_figure_from_its_face() -> None:
    loop = load_setup("loop").lamps[0].round_deg
    for faces_deg in (15, 40, 70):
        assert key_round_deg(placed("loop", faces_deg=faces_deg)) == pytest.approx(loop, abs=1)
        figure = placed("loop", FIGURE, faces_deg=faces_deg, hero="head")
        assert key_round_deg(figure) == pytest.approx(loop + faces_deg, abs=1)


def test_a_vehicle_that_is_not_said_to_face_a_way_stands_at_40_degrees_in_every_setup() -> None:
    arrangement = resolved(declared(), subject_from_parts("car", CAR))
    setups = [place_setup(name, arrangement) for name in setup_names()]
    assert {(setup.kind, setup.facing_deg) for setup in setups} == {("vehicle", 40)}
    assert len({id(setup.subject) for setup in setups}) == 1


def test_a_direction_in_the_file_wins_over_the_kind_s_also_where_it_is_0() -> None:
    assert placed("broad", faces_deg=0).facing_deg == 0
    assert placed("broad", faces_deg=-25).facing_deg == -25
    assert placed("broad", kind="ship").facing_deg == 60
