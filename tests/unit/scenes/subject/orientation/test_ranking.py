"""The likeliest orientation of solids that stand one way alone, however their file has them turned."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from scenes.subject.axes import AXES, upright
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.orientation.choices import orientation_choices
from scenes.subject.orientation.ranking import (
    current_orientation,
    likelier_than,
    opposite,
    ranked_orientations,
    reason_for,
)
from scenes.subject.subject import Subject
from tests.support.arrangements import subject_in

CONE = trimesh.creation.cone(3, 10, sections=48)
CAR_PROFILE = [[-9, 0], [9, 0], [9, 3], [3, 3], [0, 5], [-8, 5], [-9, 4]]
"""Of a body along x: its bonnet is at the positive end."""


def car() -> trimesh.Trimesh:
    """Return a body 18 long along x, 7 wide along y, with a bonnet and a cabin."""
    triangles = [[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 5], [0, 5, 6]]
    made = trimesh.creation.extrude_triangulation(CAR_PROFILE, triangles, 7)
    return made.apply_transform([[1, 0, 0, 0], [0, 0, -1, 3.5], [0, 1, 0, 0], [0, 0, 0, 1]])


def in_file(folder: Path, mesh: trimesh.Trimesh, table_up: str, **keys: Any) -> Subject:
    """Return a mesh that stands on z = 0 as loaded from a file whose axis `table_up` points up."""
    turn = np.eye(4)
    turn[:3, :3] = upright(table_up).T
    mesh.copy().apply_transform(turn).export(folder / "a.stl")
    return subject_in(folder / "a.stl", unit="cm", **keys)


@pytest.mark.parametrize(("up", "loaded_as"), [*product(AXES, ("y", "z"))])
def test_the_side_on_whose_opposite_a_cone_is_flat_is_up(tmp_path: Path, up: str, loaded_as: str) -> None:
    model = in_file(tmp_path, CONE, up, up=loaded_as)
    ranked = ranked_orientations(model, "stl")
    current = current_orientation(model)
    assert current is not None
    assert ranked[0].up == up
    likelier = likelier_than(current, ranked)
    if up == loaded_as:
        assert likelier is None
    else:
        assert likelier == ranked[0]
        assert reason_for(ranked[0], current, ranked).startswith(("a flat base", "it stands firmer"))


def test_a_format_that_states_its_up_is_believed_against_weak_signs(tmp_path: Path) -> None:
    """A block of 6 x 5 x 7 stands on any side."""
    model = in_file(tmp_path, trimesh.creation.box((6, 5, 7)), "z")
    assert ranked_orientations(model, "glb")[0].up == "y"
    assert ranked_orientations(model, "3mf")[0].up == "z"


@pytest.mark.parametrize("up", ["y", "z", "-x"])
def test_a_car_faces_along_its_mirror_plane_whichever_axis_is_up(tmp_path: Path, up: str) -> None:
    ranked = ranked_orientations(in_file(tmp_path, car(), up), "stl")
    found = next(orientation for orientation in ranked if orientation.up == up)
    along = upright(up).T @ [1, 0, 0]
    assert abs(np.dot(AXES[found.front], along)) == pytest.approx(1)


def test_a_car_that_shows_its_flank_is_likelier_turned_and_its_other_end_is_not(tmp_path: Path) -> None:
    model = in_file(tmp_path, car(), "z")
    ranked = ranked_orientations(model, "stl")
    found = likelier_than(("z", "-y"), ranked)
    assert found is not None
    assert (found.up, found.front) == ("z", "x")
    assert likelier_than(("z", "x"), ranked) is None
    assert likelier_than(("z", "-x"), ranked) is None


def test_the_end_that_is_declared_stays_the_front(tmp_path: Path) -> None:
    assert ranked_orientations(in_file(tmp_path, car(), "z", front="-x"), "stl")[0].front == "-x"


def test_a_model_that_came_from_no_file_has_no_axes_to_choose_from() -> None:
    model = subject_from_parts("cone", [("cone", CONE.vertices, CONE.faces)])
    assert current_orientation(model) is None
    assert ranked_orientations(model, "") == ()
    assert orientation_choices((), ("z", "-y")) == ()


@pytest.mark.parametrize("current", [(up, front) for up, front in product(AXES, AXES) if up[-1] != front[-1]])
def test_the_choices_are_six_the_likeliest_first_with_the_one_in_use(current: tuple[str, str], tmp_path: Path) -> None:
    ranked = ranked_orientations(in_file(tmp_path, car(), "y"), "obj")
    choices = [(choice.up, choice.front) for choice in orientation_choices(ranked, current)]
    assert len(set(choices)) == 6
    assert choices[:2] == [(ranked[0].up, ranked[0].front), (ranked[0].up, opposite(ranked[0].front))]
    assert current in choices
    assert (current[0], opposite(current[1])) in choices
    assert all(up[-1] != front[-1] for up, front in choices)
