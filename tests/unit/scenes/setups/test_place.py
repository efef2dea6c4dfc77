"""From 'round and rise' to a place in cm: clear of the model, above the table, before the wall, out of the frame."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scenes.arrangement.arrangement import BackdropModel, CameraModel
from scenes.arrangement.reading import fill_model
from scenes.geometry import direction_round, distance_to_board, round_and_rise
from scenes.setups.place import Place, Stage, in_frame
from scenes.setups.placing import MOST_STEPS, place_board, place_card
from scenes.setups.setup import SetupCard, SetupLamp
from scenes.stage.backdrop import lay_sweep
from scenes.stage.viewpoint import look_at
from scenes.subject.from_meshes import subject_from_parts

from .test_setup import FIGURE, box

PANEL, SMALL = (20.0, 14.0), (5.0, 3.2)
MIDDLE = 8.3


def stage(facing_deg: float = 0.0, backdrop: str = "none", parts: Any = FIGURE, **camera: Any) -> Stage:
    subject = subject_from_parts("model", parts)
    view = look_at(subject, fill_model(camera, CameraModel, "test"))
    sweep = lay_sweep(fill_model({"kind": backdrop}, BackdropModel, "test"), subject.size_cm, view)
    return Stage(subject, view, sweep, facing_deg, (0.0, 0.0, 15.0), "figure")


def lamp(**keys: Any) -> SetupLamp:
    return fill_model({"role": "key", "out_of_frame": "leave", **keys}, SetupLamp, "test")


STAGE, SWEPT = stage(), stage(backdrop="sweep")


def test_a_place_faces_its_aim_and_has_its_corners_square_to_that() -> None:
    place = Place((10, -20, 30), (10, 0, 30))
    assert place.facing.tolist() == [0, 1, 0]
    got = sorted(map(tuple, place.corners((4, 2)).tolist()))
    assert got == [(8, -20, 29), (8, -20, 31), (12, -20, 29), (12, -20, 31)]


@pytest.mark.parametrize(("aim", "point"), [("hero", (0, 0, 15)), ("middle", (0, 0, MIDDLE)), ("base", (0, 0, 0))])
def test_a_lamp_can_aim_at_the_hero_the_middle_or_the_base(aim: str, point: tuple[float, float, float]) -> None:
    np.testing.assert_allclose(STAGE.aim(aim), point, atol=1e-5)


@pytest.mark.parametrize("swept", [STAGE, SWEPT])
def test_the_wall_that_a_lamp_aims_at_is_behind_the_middle_of_the_frame(swept: Stage) -> None:
    point = swept.aim("wall")
    x, y, depth = swept.view.project(point[None])[0]
    assert point[1] == pytest.approx(2.5 * swept.subject.size_cm)
    assert abs(x) < 1e-9
    assert abs(y) < 0.25
    assert depth > -swept.view.at_cm[1]


@settings(max_examples=60)
@given(st.floats(-180, 180), st.floats(5, 80), st.floats(1.5, 4), st.floats(-90, 90))
def test_with_room_all_round_a_lamp_stands_exactly_where_its_setup_says(
    round_deg: float, rise_deg: float, distance: float, facing_deg: float
) -> None:
    turned = replace(STAGE, facing_deg=facing_deg)
    place = place_board(lamp(round_deg=round_deg, rise_deg=rise_deg, distance=distance), SMALL, turned)
    expected = np.asarray(turned.hero_cm) + direction_round(facing_deg + round_deg, rise_deg) * (
        distance * turned.subject.size_cm
    )
    np.testing.assert_allclose(place.at_cm, expected, atol=0.051)  # rounded to what a tape measure can tell
    assert place.aim_cm == turned.hero_cm


def test_from_the_camera_the_face_does_not_count() -> None:
    turned = replace(STAGE, facing_deg=60.0)
    place = place_board(lamp(round_deg=90, rise_deg=0, distance=2, from_camera=True), SMALL, turned)
    np.testing.assert_allclose(place.at_cm, (2 * STAGE.subject.size_cm, 0, 15), atol=0.051)


@pytest.mark.parametrize("clearance_cm", [0.5, 3, 12])
@pytest.mark.parametrize("round_deg", [0, 45, 90, 180])
def test_a_lamp_too_near_is_moved_out_along_its_line_until_it_is_just_clear(
    clearance_cm: float, round_deg: float
) -> None:
    want = lamp(round_deg=round_deg, rise_deg=10, distance=0.05, clearance_cm=clearance_cm)
    place = place_board(want, SMALL, STAGE)
    away = np.subtract(place.at_cm, STAGE.hero_cm)
    assert round_and_rise(away) == pytest.approx((round_deg, 10), abs=1.5)
    nearest = distance_to_board(STAGE.subject.surface_points(20000), place.at_cm, place.facing, SMALL).min()
    assert clearance_cm - 0.05 <= nearest <= clearance_cm + 0.03 * STAGE.subject.size_cm


@pytest.mark.parametrize("swept", [STAGE, SWEPT])
def test_a_lamp_that_would_stand_in_the_table_is_lifted_off_it_and_still_meets_its_aim(swept: Stage) -> None:
    place = place_board(lamp(round_deg=-60, rise_deg=-40, distance=1.5), PANEL, swept)
    assert place.corners(PANEL)[:, 2].min() == pytest.approx(0.5, abs=0.15)
    assert place.aim_cm == swept.hero_cm


def test_a_lamp_that_would_stand_behind_the_wall_is_drawn_before_it() -> None:
    assert SWEPT.sweep is not None
    place = place_board(lamp(round_deg=170, rise_deg=10, distance=4), PANEL, SWEPT)
    gap = SWEPT.sweep.wall_cm - place.corners(PANEL)[:, 1].max()
    assert gap == pytest.approx(1, abs=0.15)
    free = place_board(lamp(round_deg=170, rise_deg=10, distance=4), PANEL, STAGE)
    assert free.at_cm[1] > SWEPT.sweep.wall_cm


def test_above_the_top_of_the_sheet_a_lamp_may_stand_behind_it() -> None:
    assert SWEPT.sweep is not None
    place = place_board(lamp(round_deg=180, rise_deg=50, distance=7), SMALL, SWEPT)
    assert place.corners(SMALL)[:, 2].min() > SWEPT.sweep.height_cm
    assert place.at_cm[1] > SWEPT.sweep.wall_cm


@pytest.mark.parametrize(("tilt_deg", "rise"), [(0, -40), (25, -15), (-30, -70), (-90, -90)])
def test_a_tilt_turns_a_lamp_up_or_down_where_it_stands(tilt_deg: float, rise: float) -> None:
    straight = place_board(lamp(round_deg=30, rise_deg=40, distance=3), SMALL, STAGE)
    tilted = place_board(lamp(round_deg=30, rise_deg=40, distance=3, tilt_deg=tilt_deg), SMALL, STAGE)
    assert tilted.at_cm == straight.at_cm
    assert round_and_rise(tilted.facing)[1] == pytest.approx(rise, abs=0.5)


SEEN = {"round_deg": 170, "rise_deg": 5, "distance": 1.5}


def test_a_lamp_in_the_frame_is_seen_to_be_in_it() -> None:
    place = place_board(lamp(**SEEN), SMALL, STAGE)
    assert in_frame(place, SMALL, STAGE.view)


@pytest.mark.parametrize(
    ("at", "inside"),
    [
        ((0, 20, 10), True),
        ((0, -62, 13), True),
        ((0, -80, 13), False),
        ((60, 20, 10), False),
        ((0, 20, 60), False),
    ],
)
def test_in_frame_tells_what_is_before_the_lens_beside_it_and_behind_it(
    at: tuple[float, float, float], inside: bool
) -> None:
    assert in_frame(Place(at, (at[0], at[1] - 1, at[2])), SMALL, STAGE.view) is inside


def test_a_board_whose_edge_alone_reaches_into_the_frame_is_in_it() -> None:
    half_width = STAGE.view.tan_half_height * STAGE.view.aspect * -STAGE.view.at_cm[1]
    beside = [Place((half_width + 20 * share, 0, 10), (half_width + 20 * share, -1, 10)) for share in (0.45, 0.55)]
    assert [in_frame(place, (20, 14), STAGE.view) for place in beside] == [True, False]


def test_raised_a_lamp_leaves_the_frame_upwards_in_its_own_bearing() -> None:
    stays = place_board(lamp(**SEEN), SMALL, STAGE)
    raised = place_board(lamp(**{**SEEN, "out_of_frame": "raise"}), SMALL, STAGE)
    assert not in_frame(raised, SMALL, STAGE.view)
    assert raised.at_cm[2] > stays.at_cm[2]
    assert round_and_rise(np.subtract(raised.at_cm, STAGE.hero_cm))[0] == pytest.approx(170, abs=1)


def test_a_lamp_that_no_height_takes_out_of_the_frame_is_put_farther_too() -> None:
    near = {"round_deg": 90, "rise_deg": 0, "distance": 0.6, "aim": "middle", "clearance_cm": 0}
    assert in_frame(place_board(lamp(**{**near, "rise_deg": 84}), PANEL, STAGE), PANEL, STAGE.view)
    assert not in_frame(place_board(lamp(**near, out_of_frame="raise"), PANEL, STAGE), PANEL, STAGE.view)


def test_retreating_a_lamp_leaves_the_frame_along_its_own_line() -> None:
    near = {"round_deg": 90, "rise_deg": 0, "distance": 0.45, "clearance_cm": 0}
    stays, gone = (place_board(lamp(**near, out_of_frame=how), SMALL, STAGE) for how in ("leave", "retreat"))
    assert in_frame(stays, SMALL, STAGE.view)
    assert not in_frame(gone, SMALL, STAGE.view)
    assert gone.at_cm[0] > stays.at_cm[0]
    assert gone.at_cm[1:] == stays.at_cm[1:]


def test_what_the_table_holds_in_the_frame_is_left_there_after_some_hundred_steps() -> None:
    down = lamp(rise_deg=-90, aim="middle", distance=1.4, out_of_frame="retreat")
    with patch("scenes.setups.placing.distance_to_board", wraps=distance_to_board) as steps:
        held = place_board(down, PANEL, SWEPT)
    assert in_frame(held, PANEL, SWEPT.view)
    assert steps.call_count <= 2 * MOST_STEPS


def test_out_of_the_frame_already_nothing_moves() -> None:
    for how in ("raise", "retreat"):
        beside = {"round_deg": -90, "rise_deg": 20, "distance": 3.0}
        assert place_board(lamp(**beside, out_of_frame=how), PANEL, STAGE) == place_board(lamp(**beside), PANEL, STAGE)


def test_below_the_frame_a_lamp_leans_before_the_model_and_faces_it_from_below() -> None:
    place = place_board(lamp(out_of_frame="below"), PANEL, STAGE)
    assert not in_frame(place, PANEL, STAGE.view)
    edge = place.corners(PANEL)
    assert edge[:, 2].min() > 0
    assert edge[:, 1].max() < STAGE.subject.bounds_cm[0][1]
    assert place.facing[2] > 0
    assert place.facing[1] > 0
    assert place.at_cm[0] == 0


def test_hidden_a_lamp_stands_behind_the_model_within_its_outline() -> None:
    place = place_board(lamp(round_deg=180, rise_deg=-20, out_of_frame="hide", from_camera=True), (3.0, 2.0), STAGE)
    assert place.at_cm[1] > STAGE.subject.bounds_cm[1][1]
    x, y, _ = STAGE.view.project(place.corners((3.0, 2.0))).T
    body = STAGE.view.project(STAGE.subject.surface_points(4000))
    assert body[:, 0].min() < x.min() < x.max() < body[:, 0].max()
    assert body[:, 1].min() < y.min() < y.max() < body[:, 1].max()


@pytest.mark.parametrize("width", [0.5, 2.8])  # the wider one hides three quarters of the lamp
def test_behind_a_model_too_thin_to_hide_it_a_lamp_is_raised_out_of_the_frame(width: float) -> None:
    mast = stage(parts=[box("mast", (width, width, 18), (0, 0, 9))])
    place = place_board(lamp(round_deg=180, rise_deg=-20, out_of_frame="hide", from_camera=True), SMALL, mast)
    assert not in_frame(place, SMALL, mast.view)
    assert place.at_cm[1] > 0
    assert place.at_cm[2] > mast.subject.height_cm


@pytest.mark.parametrize("how", ["retreat", "raise", "below"])
def test_a_card_has_its_size_in_subject_sizes_and_is_put_out_of_the_frame(how: str) -> None:
    made = {"role": "bounce", "size": [1.5, 1], "reflectance": "white paper"}
    stands = {"round_deg": 90, "distance": 0.5, "aim": "middle", "out_of_frame": how}
    card = place_card(fill_model({**made, **stands}, SetupCard, "test"), STAGE)
    assert card.name == "bounce"
    assert card.size_cm == pytest.approx((1.5 * STAGE.subject.size_cm, STAGE.subject.size_cm))
    at, facing = np.asarray(card.at_cm), np.asarray(card.facing)
    assert np.linalg.norm(facing) == pytest.approx(1)
    assert not in_frame(Place(card.at_cm, tuple(at + 10 * facing)), card.size_cm, STAGE.view)
    assert facing @ (STAGE.aim("middle") - at) > 0


def test_a_setups_card_grows_with_its_subject_beyond_what_a_person_would_declare() -> None:
    hall = stage(parts=[box("hall", (250, 250, 250), (0, 0, 125))])
    card = fill_model({"role": "bounce", "size": [10, 10], "reflectance": 0.8}, SetupCard, "test")
    assert place_card(card, hall).size_cm == (2500, 2500)
    assert place_card(card, hall).unfolded() == (place_card(card, hall),)
