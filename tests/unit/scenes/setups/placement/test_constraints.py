"""Each constraint is a margin in cm: positive by how much it is met, negative by how much it is broken."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from scenes.arrangement.arrangement import RoomModel
from scenes.arrangement.reading import fill_model
from scenes.setups.placement.bodies import Bodies, bodies_of
from scenes.setups.placement.collisions import Body
from scenes.setups.placement.constraints import (
    BODY_GAP_CM,
    CONSTRAINTS,
    FREE,
    LENS_GAP_CM,
    LIGHT_GAP_CM,
    SHEET_GAP_CM,
    TABLE_GAP_CM,
    above_table,
    before_sheet,
    clear_of_bodies,
    clear_of_lens,
    clear_of_model,
    in_sight_of_hero,
    inside_room,
    middle_near_model,
    no_nearer_than_allowed,
    out_of_light,
)  # fmt: skip
from scenes.setups.placement.surroundings import Surroundings
from scenes.stage.backdrop import Sweep
from tests.unit.scenes.setups.test_place import stage
from tests.unit.scenes.setups.test_setup import box

CUBE = stage(parts=[box("cube", (10, 10, 10), (0, 0, 5))])
AROUND = Surroundings(CUBE, RoomModel())
LEVEL, DOWN, ALONG_X = (0.0, 1.0, 0.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0)


def board(at: Any, facing: Any = LEVEL, size: tuple[float, float] = (8, 6)) -> Bodies:
    return bodies_of(Body("board", at, facing, size))


def ball(at: Any, diameter: float = 6) -> Bodies:
    return bodies_of(Body("ball", at, LEVEL, (diameter, diameter), is_ball=True))


@pytest.mark.parametrize(
    ("bodies", "lowest"),
    [
        (board((0, -30, 10)), 7),
        (board((0, -30, 10), DOWN), 10),
        (board((0, -30, 10), (0, 0.6, -0.8)), 10 - 3 * 0.6),
        (ball((0, -30, 10)), 7),
        (ball((0, -30, 1)), -2),
    ],
)
def test_above_the_table_is_the_height_of_the_lowest_point(bodies: Bodies, lowest: float) -> None:
    assert above_table(bodies, AROUND) == pytest.approx([lowest - TABLE_GAP_CM])


@pytest.mark.parametrize(
    ("bodies", "margin"),
    [
        (board((0, 40, 30)), 5 - SHEET_GAP_CM),
        (board((0, 40, 30), ALONG_X), 1 - SHEET_GAP_CM),
        (ball((0, 40, 30)), 2 - SHEET_GAP_CM),
        (ball((0, 36, 9)), 18 - 81**0.5 * 2**0.5 - 3 - SHEET_GAP_CM),  # 9 cm beyond and below the axis of the curve
        (board((0, 44, 90)), 17),  # over the top of the sheet, at 70 cm
    ],
)
def test_before_the_sheet_is_the_distance_from_wall_and_curve_or_over_its_top(bodies: Bodies, margin: float) -> None:
    around = replace(AROUND, stage=replace(CUBE, sweep=Sweep(70, 30, 45, 18, 70)))
    assert before_sheet(bodies, around) == pytest.approx([margin])
    assert before_sheet(bodies, AROUND)[0] == FREE


@pytest.mark.parametrize(
    ("side", "limit", "margin"),
    [("left", 30, 30 - 24), ("right", 30, 30 + 16), ("behind", 10, 20), ("front", 25, 15), ("above", 30, 30 - 23)],
)
def test_inside_the_room_is_the_distance_from_its_nearest_limit(side: str, limit: float, margin: float) -> None:
    room = fill_model({"clear_cm": {side: limit}}, RoomModel, "test")
    assert inside_room(board((-20, -10, 20)), replace(AROUND, room=room)) == pytest.approx([margin])
    assert inside_room(board((-20, -10, 20)), AROUND)[0] == FREE


def test_clear_of_the_lens_is_the_distance_from_it() -> None:
    x, y, z = CUBE.view.at_cm
    assert clear_of_lens(board((x + 14, y, z)), AROUND) == pytest.approx([10 - LENS_GAP_CM])
    assert clear_of_lens(ball((x, y, z + 14)), AROUND) == pytest.approx([11 - LENS_GAP_CM])


@pytest.mark.parametrize(
    ("bodies", "distance"), [(board((0, -15, 5)), 10), (board((0, -15, 5), ALONG_X), 6), (ball((0, 0, 15)), 2)]
)
def test_clear_of_the_model_is_the_distance_over_the_clearance(bodies: Bodies, distance: float) -> None:
    far = replace(AROUND, clearance_cm=20.0)
    assert clear_of_model(bodies, far) == pytest.approx([distance - 20], abs=0.02)
    assert no_nearer_than_allowed(bodies, replace(AROUND, nearest_cm=20.0)) == pytest.approx([distance - 20], abs=0.02)
    assert no_nearer_than_allowed(bodies, AROUND)[0] == FREE


@pytest.mark.parametrize(("clearance_cm", "near"), [(9.9, False), (10.1, True), (20.0, True)])
def test_a_body_whose_middle_is_nearer_than_the_clearance_is_not_clear_of_the_model(
    clearance_cm: float, near: bool
) -> None:
    far = replace(AROUND, clearance_cm=clearance_cm)
    bodies = board((0, -15, 5))
    assert middle_near_model(bodies, far).tolist() == [near]
    assert (clear_of_model(bodies, far)[0] < 0) == near  # it faces the model: its middle is its nearest point


def test_in_the_hollow_of_a_model_nothing_is_clear_of_it() -> None:
    hollow = replace(AROUND, stage=stage(parts=[box("hall", (60, 60, 60), (0, 0, 30))]), clearance_cm=3.0)
    assert clear_of_model(ball((0, 0, 30)), hollow)[0] == -3
    assert clear_of_model(ball((0, 0, 80)), hollow)[0] > 0


def test_clear_of_bodies_is_the_gap_to_the_nearest() -> None:
    others = replace(AROUND, lamps=(Body("lamp", (30, -30, 20), LEVEL, (8, 6)),), cards=())
    assert clear_of_bodies(board((21.5, -30, 20)), others) == pytest.approx([0.5 - BODY_GAP_CM])
    assert clear_of_bodies(board((18, -30, 20)), others)[0] > 0
    assert clear_of_bodies(board((18, -30, 20)), AROUND)[0] == FREE


@pytest.mark.parametrize(("aside", "margin"), [(0, -5), (5, 0), (9, 4)])
def test_in_sight_of_the_hero_is_how_far_the_line_passes_beside_a_card(aside: float, margin: float) -> None:
    hero_z = CUBE.hero_cm[2]
    card = Body("card", (aside, -20, hero_z), LEVEL, (10, 10))
    lamp = board((0, -40, hero_z))
    assert in_sight_of_hero(lamp, replace(AROUND, screens=(card,))) == pytest.approx([margin - LIGHT_GAP_CM])
    beyond = replace(card, at_cm=(aside, -50, hero_z))
    assert in_sight_of_hero(lamp, replace(AROUND, screens=(beyond,)))[0] == FREE


def test_in_sight_of_the_hero_is_how_far_the_line_passes_over_the_sheet() -> None:
    around = replace(AROUND, stage=replace(CUBE, sweep=Sweep(70, 30, 45, 18, 70)))
    hero_z = CUBE.hero_cm[2]
    assert in_sight_of_hero(board((0, 90, 170)), around) == pytest.approx(
        [hero_z + (170 - hero_z) / 2 - 70 - LIGHT_GAP_CM]
    )
    assert in_sight_of_hero(board((0, 40, 60)), around)[0] == FREE


@pytest.mark.parametrize(("aside", "margin"), [(0, -5), (9, 4)])
def test_out_of_the_light_a_card_stays_beside_the_line_from_hero_to_lamp(aside: float, margin: float) -> None:
    hero_z = CUBE.hero_cm[2]
    around = replace(AROUND, lit_from=((0.0, -40.0, hero_z),))
    card = board((aside, -20, hero_z), LEVEL, (10, 10))
    assert out_of_light(card, around) == pytest.approx([margin - LIGHT_GAP_CM])
    assert out_of_light(card, AROUND)[0] == FREE


def test_margins_of_many_bodies_are_those_of_each() -> None:
    at = np.array([[-30.0, -20, 20], [0, 30, 12], [40, -10, 3]])
    one = board((0, -30, 10))
    many = Bodies(at, np.repeat(one.axes, 3, axis=0), np.repeat(one.size_cm, 3, axis=0), False)
    around = replace(AROUND, clearance_cm=3.0, screens=(Body("card", (-10, -10, 10), LEVEL, (10, 10)),))
    for constraint in CONSTRAINTS:
        alone = [float(constraint.margin(many[i : i + 1], around)[0]) for i in range(3)]
        assert constraint.margin(many, around) == pytest.approx(alone), constraint.name
