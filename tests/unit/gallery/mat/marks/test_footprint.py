"""A footprint is what touches the table, beside the outline of the whole model."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from gallery.mat.marks.footprint import Footprint, footprint_of
from materials.arrays import Vector
from tests.support.arrangements import subject_in

BODY_CM, LEG_CM = (12.0, 8.0, 3.0), (2.0, 1.0, 4.0)
LEGS = [(-4.0, -3.0), (4.0, -3.0), (0.0, 3.0)]


@pytest.fixture(scope="module")
def stool(tmp_path_factory: pytest.TempPathFactory) -> Footprint:
    """Return the footprint of a body of 12 x 8 cm on three legs of 2 x 1 cm, centred on the mark."""
    body = trimesh.creation.box(BODY_CM)
    body.apply_translation((0, 0, LEG_CM[2] + BODY_CM[2] / 2))
    legs = [trimesh.creation.box(LEG_CM) for _ in LEGS]
    for leg, (x, y) in zip(legs, LEGS, strict=True):
        leg.apply_translation((x, y, LEG_CM[2] / 2))
    path = tmp_path_factory.mktemp("stool") / "stool.stl"
    trimesh.util.concatenate([body, *legs]).export(path)
    return footprint_of(subject_in(path, unit="cm", up="z", front="-y"))


def _bounds(outline: Vector) -> list[float]:
    return [*outline.min(axis=0), *outline.max(axis=0)]


def test_a_speck_beside_the_legs_is_no_footprint(tmp_path: Path) -> None:
    legs = [trimesh.creation.box(LEG_CM), trimesh.creation.box((0.15, 0.15, 4.0))]
    legs[1].apply_translation((5.0, 0.0, 0.0))
    trimesh.util.concatenate(legs).export(tmp_path / "speck.stl")
    assert len(footprint_of(subject_in(tmp_path / "speck.stl", unit="cm", up="z", front="-y")).touching) == 1


def test_every_leg_is_outlined_where_it_stands_within_a_millimetre(stool: Footprint) -> None:
    expected = sorted([x - 1, y - 0.5, x + 1, y + 0.5] for x, y in LEGS)
    assert np.array(sorted(map(_bounds, stool.touching))) == pytest.approx(np.array(expected), abs=0.1)


def test_the_outline_from_above_is_the_bodys_within_a_millimetre(stool: Footprint) -> None:
    (outline,) = stool.above
    assert _bounds(outline) == pytest.approx([-6, -4, 6, 4], abs=0.1)
    assert not stool.is_one


def test_outlines_close(stool: Footprint) -> None:
    assert all((outline[0] == outline[-1]).all() for outline in (*stool.touching, *stool.above))


def test_a_model_on_a_base_stands_on_its_whole_outline(tmp_path: Path) -> None:
    trimesh.creation.cylinder(radius=4, height=6).export(tmp_path / "base.stl")
    footprint = footprint_of(subject_in(tmp_path / "base.stl", unit="cm"))
    assert footprint.is_one
    (outline,) = footprint.touching
    assert np.hypot(*outline.T) == pytest.approx(4, abs=0.1)
