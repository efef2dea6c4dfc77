"""The seamless sheet: table, curve and wall in one piece."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from scenes.arrangement.arrangement import BackdropModel, CameraModel
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError
from scenes.stage.backdrop import Sweep, edges_in_sight, lay_sweep
from scenes.stage.viewpoint import Viewpoint, look_at
from scenes.subject.from_meshes import subject_from_parts

DIVER_VIEW = Viewpoint((0, -70, 15), (0, 0, 9), 0.18, 0.75)

sweeps = st.builds(
    lambda front, radius, flat, upright: Sweep(70, front, radius + flat, radius, radius + upright),
    st.floats(5, 100),
    st.floats(2, 60),
    st.floats(0, 100),
    st.floats(0, 100),
)


def backdrop(**keys: Any) -> BackdropModel:
    return fill_model(keys, BackdropModel, "test")


def fine_profile(sweep: Sweep) -> np.ndarray[Any, np.dtype[np.float64]]:
    points, _ = sweep.profile()
    steps = np.linspace(0, 1, 11)[:, None]
    return np.vstack([a + steps * (b - a) for a, b in pairwise(points)])


@given(sweeps)
def test_the_sheet_is_as_long_as_its_section(sweep: Sweep) -> None:
    points, _ = sweep.profile()
    along = np.linalg.norm(np.diff(points, axis=0), axis=1).sum()
    assert along == pytest.approx(sweep.length_cm, rel=1e-4)  # chords are a little shorter than the curve


@given(sweeps)
def test_the_section_turns_by_equal_small_steps_from_level_to_upright(sweep: Sweep) -> None:
    points, _ = sweep.profile()
    steps = np.diff(points, axis=0)
    steps = steps[np.linalg.norm(steps, axis=1) > 1e-6]
    angles = np.degrees(np.arctan2(steps[:, 1], steps[:, 0]))
    assert angles[1] < 1
    assert angles[0] >= -1e-6
    assert angles[-1] == pytest.approx(90, abs=1)
    assert np.diff(angles).min() > -1e-6
    assert np.diff(angles).max() < 1.5


@given(sweeps)
def test_the_normals_stand_on_the_section_and_face_the_subject(sweep: Sweep) -> None:
    points, normals = sweep.profile()
    np.testing.assert_allclose(np.linalg.norm(normals, axis=1), 1, atol=1e-12)
    tangents = (points[2:] - points[:-2])[1:-1]  # along the curve, by central differences
    cosines = (tangents * normals[2:-2]).sum(axis=1) / np.linalg.norm(tangents, axis=1)
    assert np.abs(cosines).max() < 1e-6
    assert normals[0].tolist() == [0, 1]
    assert normals[-1].tolist() == [-1, 0]


@given(sweeps)
def test_nothing_on_the_section_is_behind_it(sweep: Sweep) -> None:
    section = fine_profile(sweep)
    on_it = np.column_stack([np.zeros(len(section)), section])
    for point in on_it[:: max(1, len(on_it) // 100)]:
        assert sweep.behind(point[None]) == pytest.approx(0, abs=0.01 * sweep.radius_cm)


@given(sweeps, st.floats(0.1, 1.5))
def test_behind_is_how_far_a_point_pokes_through(sweep: Sweep, gap: float) -> None:
    points, normals = sweep.profile()
    for (y, z), (across, up) in zip(points[1:-1:8], normals[1:-1:8], strict=True):
        through = np.array([[0, y - gap * across, z - gap * up]])
        before = np.array([[0, y + gap * across, z + gap * up]])
        assert sweep.behind(through) == pytest.approx(gap, abs=1e-6)
        assert sweep.behind(before) == pytest.approx(-gap, abs=1e-6)


@pytest.mark.parametrize(
    ("point", "depth"),
    [((0, 0, -3), 3), ((0, 0, 4), -4), ((0, 47, 60), 2), ((0, 40, 60), -5), ((0, 45, 0), 18 * (2**0.5 - 1))],
)
def test_behind_tells_table_wall_and_curve(point: tuple[float, float, float], depth: float) -> None:
    assert Sweep(70, 30, 45, 18, 70).behind(np.array([point], float)) == pytest.approx(depth)


@pytest.mark.parametrize(
    ("point", "away"),
    [
        ((0, 0, 7), 7),
        ((0, 40, 40), 5),
        ((0, 27, 18), 18),
        ((0, -23, 4), 5),
        ((-38, 0, 4), 5),
        ((38, 0, 0), 3),
        ((0, 42, 64), 5),
        ((37, -26, 3), 7),
        ((0, 0, -2), 2),
    ],
    ids=["table", "wall", "curve", "front", "side", "side, on the table", "over the top", "a corner", "under it"],
)
def test_the_distance_is_from_the_sheet_as_it_is_laid(point: tuple[float, float, float], away: float) -> None:
    sweep = Sweep(width_cm=70, front_cm=20, wall_cm=45, radius_cm=18, height_cm=60)
    assert sweep.distances_cm(np.array([point])) == pytest.approx(away)


@given(sweeps, st.floats(-60, 60), st.floats(-120, 200), st.floats(0, 200))
def test_the_distance_is_that_of_the_nearest_point_of_the_sheet(sweep: Sweep, x: float, y: float, z: float) -> None:
    section = fine_profile(sweep)
    near_x = np.clip(x, -sweep.width_cm / 2, sweep.width_cm / 2)
    nearest = np.sqrt((x - near_x) ** 2 + ((section - [y, z]) ** 2).sum(axis=1)).min()
    step = np.linalg.norm(np.diff(section, axis=0), axis=1).max()
    (away,) = sweep.distances_cm(np.array([[x, y, z]]))
    assert nearest - step <= away <= nearest + 0.01  # chords lie a little inside the curve


def test_of_many_points_the_deepest_counts() -> None:
    assert Sweep(70, 30, 45, 18, 70).behind(np.array([[0, 0, 4], [0, 0, -3], [0, 47, 60]], float)) == pytest.approx(3)


@given(sweeps)
def test_the_mesh_is_the_section_drawn_out_to_the_width_facing_the_subject(sweep: Sweep) -> None:
    vertices, normals, faces = sweep.mesh()
    assert np.ptp(vertices[:, 0]) == pytest.approx(sweep.width_cm)
    a, b, c = vertices[faces].astype(float).transpose(1, 0, 2)
    across = np.cross(b - a, c - a)
    assert np.linalg.norm(across, axis=1).sum() / 2 == pytest.approx(sweep.length_cm * sweep.width_cm, rel=1e-3)
    large = np.linalg.norm(across, axis=1) > 1e-6
    assert ((across * normals[faces].mean(axis=1)).sum(axis=1)[large] > 0).all()


@pytest.mark.parametrize("sheet", [(70, 100), (60, 90), (100, 200)])
def test_a_sheet_is_laid_from_end_to_end(sheet: tuple[float, float]) -> None:
    sweep = lay_sweep(backdrop(sheet_cm=sheet, distance_cm=30), 18, DIVER_VIEW)
    assert sweep is not None
    assert (sweep.width_cm, sweep.length_cm) == pytest.approx(sheet)
    assert sweep.wall_cm == 30


def test_too_short_a_sheet_is_refused_with_the_length_that_would_do() -> None:
    with pytest.raises(InputError) as caught:
        lay_sweep(backdrop(sheet_cm=[70, 50], distance_cm=60), 18, DIVER_VIEW)
    told = str(caught.value)
    assert re.fullmatch(
        r"backdrop\.sheet_cm: a sheet 50 cm long does not reach from \d+ cm before the subject to a wall 60 cm "
        r"behind it; it would have to be \d+ cm, or the wall nearer \(backdrop\.distance_cm\)",
        told,
    )
    (needed,) = re.findall(r"have to be (\d+) cm", told)
    assert lay_sweep(backdrop(sheet_cm=[70, int(needed) + 1], distance_cm=60), 18, DIVER_VIEW) is not None
    with pytest.raises(InputError):
        lay_sweep(backdrop(sheet_cm=[70, int(needed) - 1], distance_cm=60), 18, DIVER_VIEW)


@pytest.mark.parametrize(
    ("size_cm", "wall_cm", "bend_cm", "front_cm"), [(18, 45, 18, 13.5), (6, 15, 6, 5), (1.5, 15, 6, 5)]
)
def test_left_to_itself_the_wall_is_2_5_sizes_behind_and_no_nearer_than_15_cm(
    size_cm: float, wall_cm: float, bend_cm: float, front_cm: float
) -> None:
    level = Viewpoint((0, -70, 5), (0, 0, 5), 0.01, 0.75)
    sweep = lay_sweep(backdrop(), size_cm, level)
    assert sweep is not None
    assert (sweep.wall_cm, sweep.radius_cm, sweep.front_cm) == pytest.approx((wall_cm, bend_cm, front_cm))
    stated = lay_sweep(backdrop(distance_cm=9), size_cm, level)
    assert stated is not None
    assert stated.wall_cm == 9


def test_without_a_backdrop_there_is_no_sheet() -> None:
    assert lay_sweep(backdrop(kind="none"), 18, DIVER_VIEW) is None


@pytest.mark.parametrize("aspect", [None, 1.0, 16 / 9, 9 / 16])
@pytest.mark.parametrize(
    "size",
    [(8, 6, 18), (30, 25, 5), (6, 40, 15), (40, 6, 15), (0.8, 0.8, 1), (60, 60, 60), (10, 10, 120), (120, 20, 30)],
)
def test_left_to_itself_no_edge_of_the_sheet_is_in_sight(
    size: tuple[float, float, float], aspect: float | None
) -> None:
    box = trimesh.creation.box(size)
    subject = subject_from_parts("block", [("block", box.vertices, box.faces)])
    view = look_at(subject, fill_model({}, CameraModel, "test"), aspect)
    sweep = lay_sweep(backdrop(), subject.size_cm, view)
    assert sweep is not None
    assert edges_in_sight(sweep, view) == ()
    section = fine_profile(sweep)
    for side in (-1, 1):
        x, y, depth = view.project(np.column_stack([np.full(len(section), side * sweep.width_cm / 2), section])).T
        in_height = (depth > 0) & (np.abs(y) <= 1)
        assert (np.abs(x[in_height]) > 1).all()


@pytest.mark.parametrize(
    ("sweep", "seen"),
    [
        (Sweep(200, 60, 45, 18, 100), ()),
        (Sweep(200, 60, 45, 18, 20), ("top",)),
        (Sweep(20, 60, 45, 18, 100), ("sides",)),
        (Sweep(200, 5, 45, 18, 100), ("front",)),
        (Sweep(20, 5, 45, 18, 20), ("top", "sides", "front")),
    ],
)
def test_edges_in_sight_are_told_apart(sweep: Sweep, seen: tuple[str, ...]) -> None:
    assert edges_in_sight(sweep, DIVER_VIEW) == seen


@given(sweeps, st.floats(-0.9, 0.9), st.floats(0, 1))
def test_a_ray_meets_the_sheet_where_its_section_is(sweep: Sweep, side: float, along: float) -> None:
    section = fine_profile(sweep)
    y, z = section[int(along * (len(section) - 1))]
    point = np.array([side * sweep.width_cm / 2, y, z])
    lens = np.array([0.0, -sweep.front_cm - 30.0, sweep.radius_cm + 20.0])
    ray = (point - lens) / np.linalg.norm(point - lens)
    (hit,) = sweep.hits(lens, ray[None])
    if np.isfinite(hit).all():
        np.testing.assert_allclose(hit, point, atol=0.01 * sweep.radius_cm)
    else:
        assert along in (0.0, 1.0) or z > sweep.height_cm - 0.1 or y < -sweep.front_cm + 0.1


def test_a_ray_past_the_sheet_meets_nothing() -> None:
    rays = np.array([[0.0, 0.6, 0.8], [0.8, 0.6, 0.0], [0.0, -1.0, 0.0]])
    assert np.isnan(Sweep(70, 30, 45, 18, 70).hits(np.array([0.0, -100.0, 20.0]), rays)).all()
