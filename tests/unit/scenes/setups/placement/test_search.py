"""The nearest place that meets every constraint, held against bodies as points and a subject as points."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scenes.arrangement.arrangement import RoomModel
from scenes.arrangement.reading import fill_model
from scenes.geometry import distance_to_board
from scenes.setups.place import Place, Stage
from scenes.setups.placement.lattice import Shape, lattice_about
from scenes.setups.placement.search import Found, find_place
from scenes.setups.placement.surroundings import Surroundings
from scenes.setups.setup import SetupLamp
from tests.unit.scenes.setups.test_place import STAGE, stage
from tests.unit.scenes.setups.test_setup import box

PANEL = Shape(((False, (20.0, 14.0)), (True, (14.0, 20.0))))
CLEARANCE_CM = 3.0


def wanted(**keys: Any) -> SetupLamp:
    return fill_model({"role": "key", **keys}, SetupLamp, "test")


def find(want: SetupLamp, on: Stage = STAGE, shape: Shape = PANEL, **around: Any) -> Found:
    room = fill_model(around.pop("room", {}), RoomModel, "test")
    return find_place(want, shape, Surroundings(on, room, clearance_cm=want.clearance_cm, **around))


def spread(place: Place) -> Any:
    """Return points all over a panel at its place."""
    size = (14.0, 20.0) if place.upright else (20.0, 14.0)
    a, b, _, d = place.corners(size)
    u, v = (grid.reshape(-1, 1) for grid in np.meshgrid(np.linspace(0, 1, 41), np.linspace(0, 1, 41)))
    return a + u * (b - a) + v * (d - a)


@settings(max_examples=25, deadline=None)
@given(
    st.tuples(st.floats(1, 30), st.floats(1, 30), st.floats(1, 30)), st.floats(-180, 180), st.floats(-20, 85),
    st.floats(0.5, 4),
)  # fmt: skip
def test_what_is_placed_keeps_to_table_sheet_frame_lens_and_model(
    size: tuple[float, float, float], round_deg: float, rise_deg: float, distance: float
) -> None:
    on = stage(backdrop="sweep", parts=[box("box", size, (0, 0, size[2] / 2))])
    place = find(wanted(round_deg=round_deg, rise_deg=rise_deg, distance=distance), on).place
    assert place is not None
    points = spread(place)
    assert points[:, 2].min() > 0.49
    assert on.sweep is not None
    assert on.sweep.behind(points) < 0 or points[:, 2].min() >= on.sweep.height_cm
    x, y, depth = on.view.project(points).T
    assert not ((np.abs(x) <= 1) & (np.abs(y) <= 1) & (depth > 0)).any()
    assert np.linalg.norm(points - on.view.at_cm, axis=1).min() > 7.99
    extent = (14.0, 20.0) if place.upright else (20.0, 14.0)
    gap = distance_to_board(on.subject.surface_points(20000), place.at_cm, place.facing, extent).min()
    assert gap > CLEARANCE_CM - 0.15  # points of a surface are not all of it


def test_a_wanted_place_that_is_free_is_taken_as_it_is() -> None:
    found = find(wanted(round_deg=-40, rise_deg=35, distance=3))
    assert found.place == lattice_about(wanted(round_deg=-40, rise_deg=35, distance=3), PANEL, STAGE).place(0)
    assert found.off_deg == pytest.approx(0, abs=1e-9)
    assert found.obstacle is None


@pytest.mark.parametrize("keys", [{"round_deg": 150, "rise_deg": 5}, {"round_deg": 30, "rise_deg": -10}])
def test_the_place_found_is_the_same_each_time_and_mirrored_for_a_mirrored_setup(keys: dict[str, float]) -> None:
    centred = replace(stage(backdrop="sweep", parts=[box("box", (8, 8, 16), (0, 0, 8))]), hero_cm=(0.0, 0.0, 13.0))
    one, again = find(wanted(**keys), centred), find(wanted(**keys), centred)
    other = find(wanted(**{**keys, "round_deg": -keys["round_deg"]}), centred)
    assert one == again
    assert one.place is not None
    assert other.place is not None
    x, y, z = one.place.at_cm
    np.testing.assert_allclose(other.place.at_cm, (-x, y, z), atol=1e-9)
    assert one.place.upright == other.place.upright


def test_in_the_frame_it_goes_aside_and_says_that_it_would_stand_there() -> None:
    found = find(wanted(round_deg=170, rise_deg=5, distance=2))
    assert 0 < found.off_deg < 40
    assert found.obstacle is not None
    assert found.obstacle.name == "out of the frame"


def test_where_the_room_leaves_nothing_near_it_goes_elsewhere_and_where_it_leaves_nothing_it_has_no_place() -> None:
    want = wanted(round_deg=-90, rise_deg=20, distance=3)
    elsewhere = find(want, room={"clear_cm": {"left": 0.01}})
    assert elsewhere.place is not None
    assert elsewhere.off_deg > 30
    assert elsewhere.is_beyond(want)
    nowhere = find(want, room={"clear_cm": {"above": 0.6}})
    assert (nowhere.place, nowhere.off_deg) == (None, np.inf)
    assert nowhere.obstacle is not None
    assert nowhere.obstacle.name == "in the room"


def test_hidden_it_stands_in_the_frame_behind_the_model_within_its_outline() -> None:
    small = Shape(((False, (3.0, 2.0)),))
    want = wanted(round_deg=180, rise_deg=-20, distance=0.6, from_camera=True, hidden=True)
    place = find(want, shape=small, hidden=True).place
    assert place is not None
    assert place.at_cm[1] > STAGE.subject.bounds_cm[1][1]
    x, y, _ = STAGE.view.project(place.corners((3.0, 2.0))).T
    body = STAGE.view.project(STAGE.subject.surface_points(4000))
    assert body[:, 0].min() < x.min() < x.max() < body[:, 0].max()
    assert body[:, 1].min() < y.min() < y.max() < body[:, 1].max()


def test_behind_a_model_too_thin_to_hide_it_it_leaves_the_frame() -> None:
    mast = stage(parts=[box("mast", (0.5, 0.5, 18), (0, 0, 9))])
    want = wanted(round_deg=180, rise_deg=-20, distance=0.6, from_camera=True, hidden=True)
    place = find(want, mast, hidden=True).place
    assert place is not None
    x, y, _ = mast.view.project(spread(place)).T
    assert ((np.abs(x) > 1) | (np.abs(y) > 1)).all()
