"""A model that lies on its side is noticed, one that stands is left in peace."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from scenes.arrangement.subject_model import PlinthModel
from tests.support.arrangements import subject_in

CONE = trimesh.creation.cone(3, 10)  # stands on its flat side where z is up


def notes(tmp_path: Path, mesh: trimesh.Trimesh, up: str, **keys: Any) -> tuple[str, ...]:
    mesh.export(tmp_path / "a.stl")
    return subject_in(tmp_path / "a.stl", unit="cm", up=up, **keys).notes


def filed(mesh: trimesh.Trimesh, up: tuple[float, float, float]) -> trimesh.Trimesh:
    """Return a mesh that stands on z = 0 as a file has it whose axis `up` points up."""
    turn = trimesh.geometry.align_vectors([0, 0, 1], up)
    return mesh.copy().apply_transform(turn)


@pytest.mark.parametrize("right", ["x", "-x", "y", "-y", "z", "-z"])
@pytest.mark.parametrize("said", ["x", "y", "z"])
def test_the_axis_is_suggested_on_which_the_flat_side_lies_down(tmp_path: Path, right: str, said: str) -> None:
    axis = {"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}[right[-1]]
    sign = -1 if right.startswith("-") else 1
    found = notes(tmp_path, filed(CONE, (sign * axis[0], sign * axis[1], sign * axis[2])), said)
    if said == right:
        assert found == ()
    else:
        assert [note.endswith(f"if that is its base, try --up {right}") for note in found] == [True]


def test_a_plinth_under_it_hides_nothing(tmp_path: Path) -> None:
    assert notes(tmp_path, CONE, "x", plinth=PlinthModel())
    assert not notes(tmp_path, CONE, "z", plinth=PlinthModel())


def wheels() -> trimesh.Trimesh:
    """Return a slab on three wheels, its rear end flat."""
    slab = trimesh.creation.box((8, 10, 1)).apply_translation((0, 0, 2))
    at = [(-2, 3, 0.8), (2, 3, 0.8), (0, -4, 0.8)]
    turn = trimesh.transformations.rotation_matrix(np.pi / 2, [0, 1, 0])
    round_ = trimesh.creation.cylinder(0.8, 0.4, transform=turn)
    return trimesh.util.concatenate([slab, *(round_.copy().apply_translation(place) for place in at)])


def hull() -> trimesh.Trimesh:
    """Return a boat on the line of its keel, with a flat deck."""
    outline = [[-2, 3], [2, 3], [0, 0]]
    made = trimesh.creation.extrude_triangulation(outline, [[0, 1, 2]], 12)
    return made.apply_transform([[1, 0, 0, 0], [0, 0, 1, 0], [0, 1, 0, 0], [0, 0, 0, 1]])


@pytest.mark.parametrize(
    "mesh",
    [wheels(), hull(), trimesh.creation.icosphere(3), trimesh.creation.box((1, 9, 9))],
    ids=["on wheels", "boat", "ball", "plate on its edge"],
)
def test_what_stands_on_wheels_on_a_keel_round_or_on_an_edge_is_left_in_peace(
    tmp_path: Path, mesh: trimesh.Trimesh
) -> None:
    assert notes(tmp_path, mesh, "z") == ()
