"""Cues of solids whose base, centre of area and mirror planes are known in closed form."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.orientation.cues import Cues, standing_cues
from scenes.subject.subject import Subject

Z, DOWN = (2, 1), (2, -1)


def subject(*meshes: trimesh.Trimesh) -> Subject:
    return subject_from_parts("solid", [(f"part {i}", mesh.vertices, mesh.faces) for i, mesh in enumerate(meshes)])


def box(size: tuple[float, float, float], at: tuple[float, float, float]) -> trimesh.Trimesh:
    return trimesh.creation.box(size).apply_translation(at)


def cues(*meshes: trimesh.Trimesh) -> dict[tuple[int, int], Cues]:
    return standing_cues(subject(*meshes))


def test_a_cone_stands_on_its_flat_base_and_tips_at_the_angle_of_its_centre_of_area() -> None:
    """Of a cone of radius 3 and height 10: the mantle, pi 3 sqrt(109), has its centre a third up; the base has none."""
    found = cues(trimesh.creation.cone(3, 10, sections=64))
    mantle, base = np.pi * 3 * np.sqrt(109), np.pi * 9
    height = mantle * 10 / 3 / (mantle + base)
    assert found[Z].flat_base == pytest.approx(1, abs=0.01)
    assert found[Z].tipping_deg == pytest.approx(np.degrees(np.arctan2(3, height)), abs=0.5)
    assert found[DOWN].flat_base == 0
    assert found[DOWN].tipping_deg < 1


def test_a_cone_is_alike_left_and_right_but_not_top_and_bottom() -> None:
    found = cues(trimesh.creation.cone(3, 10, sections=64))
    assert found[Z].asymmetry > 0.03
    assert found[Z].asymmetry == found[DOWN].asymmetry
    assert found[0, 1].asymmetry == pytest.approx(0, abs=0.002)


def test_an_l_stands_on_either_leg_and_falls_from_the_end_of_one() -> None:
    """Legs of 10 and 9 by 1, 3 deep: upside down it touches the table with a tenth of its outline, off its centre."""
    found = cues(box((10, 3, 1), (5, 0, 0.5)), box((1, 3, 9), (0.5, 0, 5.5)))
    assert found[Z].flat_base == pytest.approx(1, abs=0.02)
    assert found[0, 1].flat_base == pytest.approx(1, abs=0.02)
    assert found[DOWN].flat_base == pytest.approx(0.1, abs=0.01)
    assert found[DOWN].tipping_deg < 0 < found[Z].tipping_deg


def test_a_table_stands_on_its_feet() -> None:
    """A top of 10 x 6 x 0.5 on legs of 0.5 x 0.5 x 5 at its corners."""
    legs = [box((0.5, 0.5, 5), (x, y, 2.5)) for x in (-4.75, 4.75) for y in (-2.75, 2.75)]
    found = cues(box((10, 6, 0.5), (0, 0, 5.25)), *legs)
    height = (136 * 5.25 + 42 * 2.5) / 178
    assert found[Z].flat_base == pytest.approx(4 * 0.25 / 60, rel=0.02)
    assert found[Z].tipping_deg == pytest.approx(np.degrees(np.arctan2(3, height)), abs=0.5)
    assert found[Z].asymmetry > 0.03


def test_a_plinth_is_no_part_of_the_shape() -> None:
    cone = trimesh.creation.cone(3, 10)
    turned = cone.copy().apply_transform(trimesh.transformations.rotation_matrix(np.pi, [1, 0, 0]))
    plain = subject(turned)
    low, _ = plain.bounds_cm
    base = subject(box((8, 8, 1), (0, 0, float(low[2]) - 0.5))).parts[0]
    with_plinth = replace(plain, parts=(*plain.parts, replace(base, name="plinth")), on_plinth=True)
    assert standing_cues(with_plinth)[Z] == standing_cues(plain)[Z]
