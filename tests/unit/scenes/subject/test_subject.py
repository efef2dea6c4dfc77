"""The subject on the table: scale, axes, the way it faces, where to aim."""

from __future__ import annotations

from importlib.metadata import files
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from scenes.arrangement.subject_model import SubjectModel
from scenes.errors import InputError
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject
from tests.support.arrangements import subject_in

# an arrow 30 wide, 50 long, 20 high, whose nose looks to -y as that of a z-up model does
ARROW = trimesh.Trimesh(
    [[0, -40, 0], [15, 10, 0], [-15, 10, 0], [0, 10, 20]], [[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]]
)
BOX = trimesh.creation.box((1, 1, 1))


def written(tmp_path: Path, mesh: trimesh.Trimesh, name: str = "arrow.stl") -> Path:
    mesh.export(tmp_path / name)
    return tmp_path / name


def nose(subject: Subject) -> NDArray[np.float64]:
    """Return the horizontal point farthest from the mean of all, cm: of the arrow, its nose."""
    flat = subject.parts[0].vertices_cm[:, :2].astype(float)
    return np.asarray(flat[np.argmax(np.linalg.norm(flat - flat.mean(axis=0), axis=1))])


def test_a_model_is_seated_on_the_table_with_its_centre_over_the_mark(tmp_path: Path) -> None:
    far = ARROW.copy().apply_translation((1000, -500, 77))
    subject = subject_in(written(tmp_path, far), unit="mm")
    np.testing.assert_allclose(subject.bounds_cm, [[-1.5, -2.5, 0], [1.5, 2.5, 2]], atol=1e-4)


@pytest.mark.parametrize(
    ("sizing", "size"),
    [
        ({"height_cm": 4}, (6, 10, 4)),
        ({"length_cm": 10}, (6, 10, 4)),
        ({"width_cm": 6}, (6, 10, 4)),
        ({"unit": "mm"}, (3, 5, 2)),
        ({"unit": "cm"}, (30, 50, 20)),
        ({"unit": "in"}, (76.2, 127, 50.8)),
    ],
)
def test_one_size_or_the_unit_scales_the_whole_whichever_way_it_faces(
    tmp_path: Path, sizing: dict[str, Any], size: tuple[float, float, float]
) -> None:
    subject = subject_in(written(tmp_path, ARROW), **sizing).turned(90)
    np.testing.assert_allclose(np.ptp(subject.bounds_cm, axis=0)[[1, 0, 2]], size, rtol=1e-5)
    assert subject.height_cm == pytest.approx(size[2])
    assert subject.size_cm == pytest.approx(max(size))


def test_a_size_beside_a_unit_wins_and_a_disagreement_is_noted(tmp_path: Path) -> None:
    path = written(tmp_path, ARROW)
    assert subject_in(path, height_cm=2, unit="mm").notes == ()
    subject = subject_in(path, height_cm=4, unit="mm")
    assert subject.height_cm == pytest.approx(4)
    assert subject.notes == ('height_cm = 4 was used: with unit = "mm" it would be 2 cm',)


@pytest.mark.parametrize(("faces_deg", "way"), [(0, (0, -1)), (90, (1, 0)), (180, (0, 1)), (-90, (-1, 0))])
def test_the_nose_looks_at_the_camera_and_turns_to_camera_right(
    tmp_path: Path, faces_deg: float, way: tuple[float, float]
) -> None:
    subject = subject_in(written(tmp_path, ARROW), length_cm=10).turned(faces_deg)
    np.testing.assert_allclose(nose(subject), np.array(way) * 5, atol=1e-5)


@pytest.mark.parametrize("up", ["x", "-x", "y", "-y", "z", "-z"])
def test_whatever_axis_is_up_the_model_is_turned_and_never_mirrored(tmp_path: Path, up: str) -> None:
    axis = np.array({"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}[up[-1]]) * (-1 if "-" in up else 1)
    front = np.array((0, 0, 1) if "y" in up else (0, -1, 0))
    rows = np.column_stack([np.cross(axis, front), -front, axis])  # table axes in the file's frame
    assert np.linalg.det(rows) == pytest.approx(1)
    subject = subject_in(written(tmp_path, trimesh.Trimesh(ARROW.vertices @ rows.T, ARROW.faces)), unit="mm", up=up)
    np.testing.assert_allclose(np.ptp(subject.bounds_cm, axis=0), (3, 5, 2), rtol=1e-5)
    np.testing.assert_allclose(nose(subject), (0, -2.5), atol=1e-5)
    assert subject.notes == ()


def test_turning_keeps_the_mark_under_the_centre_of_the_unturned_model(tmp_path: Path) -> None:
    subject = subject_in(written(tmp_path, ARROW), length_cm=10)
    there_and_back = subject.turned(33).turned(-33)
    np.testing.assert_allclose(there_and_back.bounds_cm, subject.bounds_cm, atol=1e-5)
    for part, turned in zip(subject.parts, subject.turned(90).parts, strict=True):
        np.testing.assert_allclose(turned.normals[:, 0], -part.normals[:, 1], atol=1e-6)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=10, deadline=None)
@given(st.integers(0, 3), st.floats(20, 500))
def test_the_same_model_in_mm_cm_and_inches_gives_equal_parts(
    tmp_path: Path, subdivisions: int, size_mm: float
) -> None:
    model = trimesh.creation.icosphere(subdivisions, radius=size_mm / 2).apply_scale((1, 0.5, 0.8))
    subjects = []
    for unit, mm in {"mm": 1.0, "cm": 10.0, "in": 25.4}.items():
        path = written(tmp_path, model.copy().apply_scale(1 / mm), f"{unit}.stl")
        subjects.append(subject_in(path, unit=unit).parts[0])
    for part in subjects[1:]:
        np.testing.assert_array_equal(part.faces, subjects[0].faces)
        np.testing.assert_allclose(part.vertices_cm, subjects[0].vertices_cm, atol=1e-5 * size_mm)
        np.testing.assert_allclose(part.normals, subjects[0].normals, atol=1e-3)


def figure() -> Subject:
    """Return a body 10 cm wide and 15 high with a head of as much on its camera-right side."""
    body = trimesh.creation.box((10, 6, 15)).apply_translation((0, 0, 7.5))
    head = trimesh.creation.box((4, 4, 15)).apply_translation((3, 0, 22.5))
    parts = [("Body", body.vertices, body.faces), ("Head", head.vertices, head.faces)]
    return subject_from_parts("figure", parts)


def test_the_hero_is_found_by_wildcard_in_capitals_or_not() -> None:
    np.testing.assert_allclose(figure().aim_cm("HEA*"), (3, 0, 22.5), atol=1e-5)
    assert [part.name for part in figure().matching("*o*")] == ["Body"]


def test_a_standing_model_is_aimed_at_in_the_middle_of_its_upper_third() -> None:
    np.testing.assert_allclose(figure().aim_cm(None), (3, 0, 25), atol=1e-5)


def test_a_flat_model_is_aimed_at_in_its_centre(tmp_path: Path) -> None:
    subject = subject_in(written(tmp_path, ARROW), length_cm=10)
    np.testing.assert_allclose(subject.aim_cm(None), (0, 0, 2), atol=1e-5)


def test_a_hero_that_matches_no_part_is_an_error_with_the_nearest_name() -> None:
    with pytest.raises(InputError, match=r"no part of figure is called so \(did you mean 'Head'\?\)"):
        figure().aim_cm("Haed")


def test_surface_points_lie_on_the_surface_by_area_and_are_always_the_same() -> None:
    subject = subject_from_parts("slab", [("slab", BOX.vertices * [4, 4, 1], BOX.faces)])
    points = subject.surface_points(3000)
    np.testing.assert_array_equal(points, subject.surface_points(3000))
    outside = np.abs(points - [0, 0, 0.5]) - [2, 2, 0.5]
    np.testing.assert_allclose(outside.max(axis=1), 0, atol=1e-6)
    assert (points[:, 2] > 1 - 1e-6).mean() == pytest.approx(16 / 48, abs=0.01)
    np.testing.assert_allclose(points.mean(axis=0), (0, 0, 0.5), atol=0.03)
    assert subject.surface_points(0).shape == (0, 3)


def test_parts_made_in_memory_are_scaled_and_named_apart() -> None:
    bolt = ("bolt", ARROW.vertices, ARROW.faces)
    subject = subject_from_parts("bolts", [bolt, bolt], SubjectModel(mesh="bolts", height_cm=2))
    assert [part.name for part in subject.parts] == ["bolt", "bolt 2"]
    np.testing.assert_allclose(nose(subject), (0, -2.5), atol=1e-5)
    assert subject.height_cm == pytest.approx(2)


@pytest.mark.parametrize("degrees", [1, 45, 90, -137])
def test_a_size_is_the_same_however_the_model_is_turned(degrees: float) -> None:
    long = subject_from_parts("long", [("long", ARROW.vertices * [1, 4, 1], ARROW.faces)])
    assert long.turned(degrees).size_cm == long.turned(30).turned(degrees).size_cm == long.size_cm == 200


def test_arrays_have_the_shapes_and_types_that_the_renderer_takes() -> None:
    for part in figure().parts:
        assert part.vertices_cm.dtype == part.normals.dtype == np.float32
        assert part.vertices_cm.shape == part.normals.shape == (24, 3)
        assert part.faces.dtype == np.int32
        assert part.faces.shape == (12, 3)


def test_somebody_elses_mesh_loads_smooth_and_says_where_it_is_open() -> None:
    (bunny,) = (file for file in files("pymeshfix") or [] if file.name == "StanfordBunny.ply")
    subject = subject_in(Path(str(bunny.locate())), height_cm=15, up="y")
    (part,) = subject.parts
    assert subject.height_cm == pytest.approx(15, rel=1e-5)
    assert len(part.faces) > 60_000
    assert "is not closed" in " ".join(subject.notes)
    smooth = len(part.vertices_cm) / len(part.faces)
    assert smooth < 0.7  # a closed smooth mesh has half as many vertices as faces


@pytest.mark.parametrize(
    ("pattern", "answers"),
    [
        ("turret [1]", True),
        ("Turret [1]", True),
        ("turret [?]", True),
        ("* [1]", True),
        ("turret 1", False),
        ("turret [12]", False),
        ("turret", False),
    ],
)
def test_brackets_in_a_name_stand_for_themselves(pattern: str, answers: bool) -> None:
    mesh = BOX.vertices, BOX.faces
    subject = subject_from_parts("tank", [("turret [1]", *mesh), ("hull", *mesh)])
    assert [part.name for part in subject.matching(pattern)] == (["turret [1]"] if answers else [])


def test_a_part_with_brackets_in_its_name_can_be_hidden() -> None:
    mesh = BOX.vertices, BOX.faces
    parts = [("turret [1]", *mesh), ("turret 1", *mesh)]
    subject = subject_from_parts("tank", parts, SubjectModel(mesh="tank", hide=("turret [1]",)))
    assert [part.name for part in subject.parts] == ["turret 1"]
