"""Where the camera stands and how wide it sees."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from scenes.arrangement.arrangement import CameraModel
from scenes.arrangement.reading import fill_model
from scenes.errors import ArrangementError
from scenes.stage.viewpoint import CLOSE_FILL, Viewpoint, look_at, look_closer, look_over_table, natural_height_cm
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject

Size = tuple[float, float, float]
SIZES: dict[str, Size] = {
    "standing": (8, 6, 18), "lying": (30, 25, 5), "long": (6, 40, 15), "tiny": (0.8, 0.8, 1), "tall": (10, 10, 120)
}  # fmt: skip


def block(size: Size) -> Subject:
    mesh = trimesh.creation.box(size)
    return subject_from_parts("block", [("block", mesh.vertices, mesh.faces)])


def camera(**keys: Any) -> CameraModel:
    return fill_model(keys, CameraModel, "test")


def frame_taken(view: Viewpoint, subject: Subject) -> tuple[float, float, float, float]:
    """Return the left, right, lower and upper limit of the subject in the frame."""
    x, y, _ = view.project(subject.surface_points(30000)).T
    return float(x.min()), float(x.max()), float(y.min()), float(y.max())


views = st.builds(
    Viewpoint,
    st.tuples(st.floats(-80, 80), st.floats(-200, -20), st.floats(0, 150)),
    st.tuples(st.floats(-10, 10), st.floats(-10, 10), st.floats(0, 30)),
    st.floats(0.02, 1),
    st.floats(0.5, 2),
)


@given(views)
def test_the_axes_are_orthonormal_and_the_camera_is_level(view: Viewpoint) -> None:
    right, up, into = view.axes.T
    np.testing.assert_allclose(view.axes.T @ view.axes, np.eye(3), atol=1e-9)
    np.testing.assert_allclose(np.cross(right, up), -into, atol=1e-9)
    assert right[2] == pytest.approx(0, abs=1e-12)
    assert up[2] > 0


@given(views, st.floats(-1, 1), st.floats(-1, 1), st.floats(1, 500))
def test_a_ray_meets_what_is_projected_on_its_place_in_the_frame(
    view: Viewpoint, x: float, y: float, far: float
) -> None:
    ray = view.rays(np.array([x]), np.array([y]))
    assert np.linalg.norm(ray) == pytest.approx(1)
    got_x, got_y, depth = view.project(np.asarray(view.at_cm) + far * ray)[0]
    assert (got_x, got_y) == pytest.approx((x, y), abs=1e-6)
    assert depth == pytest.approx(far * float(ray[0] @ view.axes[:, 2]))


def test_what_is_aimed_at_is_in_the_middle_of_the_frame_and_right_is_right() -> None:
    view = Viewpoint((0, -70, 15), (0, 0, 8), 0.2, 0.75)
    points = np.array([[0, 0, 8], [1, 0, 8], [0, 0, 9]], float)
    middle, right, above = view.project(points)
    assert middle == pytest.approx((0, 0, np.hypot(70, 7)))
    assert right[0] > 0
    assert right[1] == pytest.approx(0, abs=1e-9)
    assert above[1] > 0


def test_what_is_behind_the_camera_has_no_place_in_the_frame() -> None:
    x, y, depth = Viewpoint((0, -70, 15), (0, 0, 15), 0.2, 0.75).project(np.array([[0.0, -90.0, 15.0]]))[0]
    assert np.isnan([x, y]).all()
    assert depth == pytest.approx(-20)


@pytest.mark.parametrize("name", SIZES)
@pytest.mark.parametrize("fill", [0.3, 0.7, 1.0])
@pytest.mark.parametrize("aspect", [None, 16 / 9, 9 / 16])
def test_the_subject_takes_the_wanted_share_of_the_frame_and_stands_in_its_middle(
    name: str, fill: float, aspect: float | None
) -> None:
    subject = block(SIZES[name])
    left, right, low, high = frame_taken(look_at(subject, camera(fill_frame=fill), aspect), subject)
    assert max((right - left) / 2, (high - low) / 2) == pytest.approx(fill, rel=0.02)
    assert (left + right) / 2 == pytest.approx(0, abs=0.02)
    assert (low + high) / 2 == pytest.approx(0, abs=0.02)


@pytest.mark.parametrize(("name", "aspect"), [("standing", 3 / 4), ("tall", 3 / 4), ("lying", 4 / 3)])
def test_a_frame_stands_or_lies_as_its_subject_does(name: str, aspect: float) -> None:
    assert look_at(block(SIZES[name]), camera()).aspect == pytest.approx(aspect)


@pytest.mark.parametrize(("kind", "aspect"), [("phone", 4 / 3), ("camera", 3 / 2), ("aps-c", 3 / 2)])
def test_a_frame_has_the_shape_of_the_camera_s_sensor(kind: str, aspect: float) -> None:
    lying, upright = (look_at(block(SIZES[name]), camera(kind=kind)) for name in ("lying", "standing"))
    assert lying.aspect == pytest.approx(aspect)
    assert upright.aspect == pytest.approx(1 / aspect)
    assert look_over_table(camera(kind=kind)).aspect == pytest.approx(aspect)
    part = block((2, 1, 3)).surface_points(500)
    assert look_closer(lying, part).aspect == pytest.approx(1 / aspect)


@pytest.mark.parametrize("facings", [(0.0, 35.0), (-35.0, -20.0), (40.0,), (-35.0, 0.0, 80.0)])
@pytest.mark.parametrize("name", SIZES)
def test_one_frame_fits_a_model_whichever_of_its_ways_it_faces(name: str, facings: tuple[float, ...]) -> None:
    model = block(SIZES[name])
    view = look_at(model, camera(fill_frame=0.7), facings_deg=facings)
    taken = [frame_taken(view, model.turned(degrees)) for degrees in facings]
    limits = [limit(values) for limit, values in zip((min, max, min, max), zip(*taken, strict=True), strict=True)]
    left, right, low, high = limits
    assert max(right - left, high - low) / 2 == pytest.approx(0.7, rel=0.02)
    assert (left + right) / 2 == pytest.approx(0, abs=0.02)
    assert (low + high) / 2 == pytest.approx(0, abs=0.02)


@pytest.mark.parametrize("facing", [0.0, 40.0])
def test_the_tips_of_thin_parts_are_in_the_frame_with_even_margins(facing: float) -> None:
    hull = trimesh.creation.box((8, 18, 5))
    mast = trimesh.creation.box((0.02, 0.02, 9)).apply_translation((3, 7, 4))
    model = subject_from_parts("tank", [(name, m.vertices, m.faces) for name, m in (("hull", hull), ("mast", mast))])
    view = look_at(model, camera(fill_frame=0.7), facings_deg=(facing,))
    corners = np.concatenate([part.vertices_cm for part in model.turned(facing).parts]).astype(float)
    seen = view.project(corners)[:, :2]
    assert np.abs(seen).max() == pytest.approx(0.7, abs=0.002)
    np.testing.assert_allclose(seen.min(axis=0), -seen.max(axis=0), atol=0.002)


def test_a_camera_inside_the_model_as_it_is_turned_is_refused() -> None:
    long = block(SIZES["long"])
    assert look_at(long, camera(distance_cm=15, height_cm=10), facings_deg=(90,)).at_cm == (0, -15, 10)
    with pytest.raises(ArrangementError, match=r"the camera stands 15 cm from the centre mark, inside the subject"):
        look_at(long, camera(distance_cm=15, height_cm=10), facings_deg=(0, 90))


def test_a_frame_of_a_wanted_shape_keeps_it() -> None:
    assert look_at(block(SIZES["standing"]), camera(), 16 / 9).aspect == 16 / 9


def test_the_camera_stands_where_the_arrangement_says() -> None:
    view = look_at(block(SIZES["standing"]), camera(distance_cm=90, height_cm=33))
    assert view.at_cm == (0, -90, 33)


@pytest.mark.parametrize("name", SIZES)
def test_left_to_itself_the_camera_is_3_9_subject_sizes_away_and_never_nearer_than_15_cm(name: str) -> None:
    subject = block(SIZES[name])
    view, distance = look_at(subject, camera()), max(15.0, 3.9 * subject.size_cm)
    assert view.at_cm == pytest.approx((0, -distance, natural_height_cm(subject, "object", distance)))


def test_the_camera_looks_level_at_what_stands_and_down_on_what_lies() -> None:
    down = {}
    for name in ("standing", "lying"):
        subject = block(SIZES[name])
        view = look_at(subject, camera())
        down[name] = np.degrees(np.arctan2(view.at_cm[2] - subject.height_cm / 2, -view.at_cm[1]))
    assert 0 < down["standing"] < 6
    assert 8 < down["lying"] < 25


def test_the_flatter_the_subject_the_more_the_camera_looks_down() -> None:
    heights = [natural_height_cm(block((30, 25, z)), "object", 117) - z / 2 for z in (15.0, 10.0, 5.0, 1.0)]
    assert (np.diff(heights) > 0).all()


@pytest.mark.parametrize("distance_cm", [60, 117, None])
def test_an_aircraft_is_seen_from_25_degrees_above_unless_a_height_is_stated(distance_cm: float | None) -> None:
    aircraft = block(SIZES["lying"])
    _, y, z = look_at(aircraft, camera(distance_cm=distance_cm), kind="aircraft").at_cm
    assert np.degrees(np.arctan2(z - aircraft.height_cm / 2, -y)) == pytest.approx(25)
    assert look_at(aircraft, camera(height_cm=12), kind="aircraft").at_cm[2] == 12


def test_an_empty_table_is_seen_from_above_with_its_centre_in_the_frame() -> None:
    view = look_over_table(camera(distance_cm=50, height_cm=20), 1.0)
    assert (view.at_cm, view.aspect) == ((0, -50, 20), 1)
    x, y, depth = view.project(np.zeros((1, 3)))[0]
    assert abs(x) < 1e-9
    assert abs(y) < 1
    assert depth > 0


def test_a_close_up_is_a_longer_lens_in_the_same_place_that_a_part_fills() -> None:
    figure, part = block(SIZES["standing"]), block((2, 1, 3))
    whole = look_at(figure, camera())
    points = part.surface_points(4000) + np.array([2.0, -2.0, 12.0])
    close = look_closer(whole, points)
    assert close.at_cm == whole.at_cm
    assert close.tan_half_height < whole.tan_half_height / 3
    seen = close.project(points)[:, :2]
    assert np.abs(seen).max() == pytest.approx(CLOSE_FILL, abs=0.02)
    assert (seen.min(axis=0) + seen.max(axis=0)) / 2 == pytest.approx(np.zeros(2), abs=0.02)
    assert look_closer(whole, points, 16 / 9).aspect == 16 / 9
