"""Inside the subject is where light cannot get out of it, whether its mesh is closed or not."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from scenes.subject.enclosure import RAYS, hit_distances_cm, is_enclosed, is_hit, parts_about, upward_rays
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject

Part = tuple[str, NDArray[Any], NDArray[Any]]


def block(size: tuple[float, float, float], at: tuple[float, float, float], name: str = "block") -> Part:
    mesh = trimesh.creation.box(size)
    return name, mesh.vertices + at, mesh.faces


def without(part: Part, side: tuple[float, float, float]) -> Part:
    """Return a block without the triangles of one side."""
    name, vertices, faces = part
    mesh = trimesh.Trimesh(vertices, faces, process=False)
    return name, vertices, faces[mesh.face_normals @ side < 0.9]


def ball(radius: float, at: tuple[float, float, float]) -> Part:
    mesh = trimesh.creation.icosphere(3, radius)
    return "ball", mesh.vertices + at, mesh.faces


BLOCK = block((10, 10, 10), (0, 0, 5))
ANGLE = subject_from_parts("L", [block((20, 10, 4), (0, 0, 2), "foot"), block((4, 10, 20), (-8, 0, 10), "back")])
LANTERN = subject_from_parts("lantern", [without(BLOCK, (0, -1, 0))])
SCAN = subject_from_parts("scan", [without(BLOCK, (0, 0, -1))])
CUP = subject_from_parts("cup", [without(BLOCK, (0, 0, 1))])
TURNED_IN = subject_from_parts(
    "turned in", [(BLOCK[0], BLOCK[1], BLOCK[2][::2]), ("rest", BLOCK[1], BLOCK[2][1::2, ::-1])]
)
ROUND = subject_from_parts("round", [ball(5, (0, 0, 5))])

ENCLOSED: dict[str, tuple[Subject, tuple[float, float, float]]] = {
    "in a block": (subject_from_parts("block", [BLOCK]), (0, 0, 5)),
    "near the wall of a block": (subject_from_parts("block", [BLOCK]), (4.9, 0, 5)),
    "in a scan without an underside": (SCAN, (0, 0, 5)),
    "in a block of two open meshes, one turned in": (TURNED_IN, (1, 2, 5)),
    "in a ball": (ROUND, (0, 0, 5)),
    "in the foot of an L": (ANGLE, (5, 0, 2)),
}
FREE: dict[str, tuple[Subject, tuple[float, float, float]]] = {
    "beside the back of an L": (ANGLE, (4, 0, 12)),
    "in the corner of an L": (ANGLE, (-5.5, 0, 4.5)),
    "in a lantern with an open side": (LANTERN, (0, 0, 5)),
    "in a cup": (CUP, (0, 0, 5)),
    "in the corner of the box about a ball": (ROUND, (4.5, 4.5, 9.5)),
    "far above": (ROUND, (0, 0, 50)),
}


@pytest.mark.parametrize("case", ENCLOSED)
def test_what_no_ray_leaves_upwards_is_enclosed(case: str) -> None:
    subject, point = ENCLOSED[case]
    assert is_enclosed(point, subject)


@pytest.mark.parametrize("case", FREE)
def test_what_stands_in_free_air_is_not_enclosed_though_it_is_within_the_bounds(case: str) -> None:
    subject, point = FREE[case]
    assert not is_enclosed(point, subject)


@pytest.mark.parametrize("centre", [(0, 0, 5), (0.3, -0.7, 4.1)])
def test_no_ray_slips_between_triangles_that_meet(centre: tuple[float, float, float]) -> None:
    (part,) = ROUND.parts
    corners, point = part.vertices_cm.astype(float), np.asarray(centre)
    first, second = corners[part.faces[:, 0]], corners[part.faces[:, 1]]
    between = first + np.linspace(0, 1, len(first))[:, None] * (second - first)
    assert all(is_hit(part, point, target - point) for target in (*corners, *between))


def test_what_lies_behind_a_point_is_not_met() -> None:
    (part,) = ROUND.parts
    above = np.array([0.1, 0.2, 20.0])
    assert not is_hit(part, above, np.array([0.0, 0.0, 1.0]))
    assert is_hit(part, above, np.array([0.0, 0.0, -1.0]))


def test_rays_are_spread_evenly_over_the_upper_half() -> None:
    rays = upward_rays()
    assert np.linalg.norm(rays, axis=1) == pytest.approx(np.ones(RAYS))
    assert rays[:, 2].min() > 0
    np.testing.assert_allclose(rays.mean(axis=0), [0, 0, 0.5], atol=0.01)


def test_a_line_crosses_a_ball_where_geometry_says_and_a_mesh_beside_it_nowhere() -> None:
    (part,) = subject_from_parts("ball", [ball(4.0, (0, 0, 4))]).parts
    generator = np.random.default_rng(7)
    for _ in range(50):
        start, ray = generator.uniform(-1.5, 1.5, 3), generator.standard_normal(3)
        ray /= np.linalg.norm(ray)
        along = -start @ ray
        half_chord = np.sqrt(along**2 - start @ start + 16)
        crossed = np.sort(hit_distances_cm(part, start + np.array([0.0, 0.0, 4.0]), ray))
        assert crossed == pytest.approx([along - half_chord, along + half_chord], abs=0.06)  # its faces are flat
    assert hit_distances_cm(part, np.array([9.0, 0, 4]), np.array([0.0, 0, 1])).size == 0


def test_a_line_that_meets_a_part_is_never_kept_from_it() -> None:
    balls = [ball(0.5, centre) for centre in np.random.default_rng(2).uniform(-3, 3, (40, 3))]
    subject = subject_from_parts("balls", [(f"ball {i}", *triangles[1:]) for i, triangles in enumerate(balls)])
    crossed = 0
    for ray in upward_rays():
        about = parts_about(subject, np.array([0.1, 0.2, 3.0]), ray)
        met = [part for part in subject.parts if hit_distances_cm(part, np.array([0.1, 0.2, 3.0]), ray).size]
        assert {part.name for part in met} <= {part.name for part in about}
        assert len(about) < 20
        crossed += len(met)
    assert crossed > 20
