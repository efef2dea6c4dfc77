"""A plinth put under a model: it is none of it."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from scenes.arrangement.subject_model import PlinthModel, SubjectModel
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject

BALL = trimesh.creation.icosphere(3)
PLINTH = PlinthModel(height_cm=2, margin_cm=1.5, base="#102030")


def on_plinth(name: str = "ball", plinth: PlinthModel | None = PLINTH) -> Subject:
    parts = [(name, BALL.vertices * [1, 2, 1] + [7, 8, 9], BALL.faces)]
    return subject_from_parts("ball", parts, SubjectModel(mesh="ball", height_cm=10, plinth=plinth))


def test_the_model_stands_on_the_middle_of_it_and_keeps_its_stated_size() -> None:
    subject = on_plinth()
    np.testing.assert_allclose(subject.model_bounds_cm, [[-5, -10, 2], [5, 10, 12]], atol=1e-4)
    np.testing.assert_allclose(subject.bounds_cm, [[-6.5, -11.5, 0], [6.5, 11.5, 12]], atol=1e-4)
    assert [(part.name, part.colour) for part in subject.parts] == [("ball", None), ("plinth", "#102030")]


def test_it_is_closed_looks_outwards_and_is_bevelled() -> None:
    plinth = on_plinth().parts[1]
    mesh = trimesh.Trimesh(plinth.vertices_cm, plinth.faces)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    bevel = 0.1
    frustum = bevel / 3 * (13 * 23 + 12.8 * 22.8 + np.sqrt(13 * 23 * 12.8 * 22.8))
    assert mesh.volume == pytest.approx(13 * 23 * (2 - bevel) + frustum, rel=1e-5)
    slanted = (np.abs(plinth.normals) > 0.1).sum(axis=1) == 2
    assert slanted.any()
    np.testing.assert_allclose(np.abs(plinth.normals[slanted]).max(axis=1), np.sqrt(0.5), atol=1e-5)  # 1 um of 0.1 cm


def test_a_thin_plinth_is_bevelled_less() -> None:
    subject = on_plinth(plinth=PlinthModel(height_cm=0.1, margin_cm=0))
    assert subject.model_bounds_cm[0, 2] == pytest.approx(0.1, abs=1e-6)
    assert trimesh.Trimesh(subject.parts[1].vertices_cm, subject.parts[1].faces).is_watertight


def test_a_part_of_the_file_called_plinth_belongs_to_the_model() -> None:
    np.testing.assert_allclose(np.ptp(on_plinth("plinth", None).model_bounds_cm, axis=0), [10, 20, 10], rtol=1e-4)
    both = on_plinth("plinth")
    assert [part.name for part in both.parts] == ["plinth 2", "plinth"]
    np.testing.assert_allclose(np.ptp(both.model_bounds_cm, axis=0), [10, 20, 10], rtol=1e-4)
