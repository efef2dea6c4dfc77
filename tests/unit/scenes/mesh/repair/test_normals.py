"""Normals split by angle, and triangles made fit to be shaded."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from scenes.mesh.repair.cleaning import cleaned, fault
from scenes.mesh.repair.merging import merged_by_position
from scenes.mesh.repair.normals import split_normals

SPHERE = trimesh.creation.icosphere(3)
BOX = trimesh.creation.box((1, 2, 3))
CYLINDER = trimesh.creation.cylinder(radius=1, height=2, sections=48)


def face_normals(vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> NDArray[np.float64]:
    a, b, c = vertices.astype(float)[faces].transpose(1, 0, 2)
    normals = np.cross(b - a, c - a)
    return np.asarray(normals / np.linalg.norm(normals, axis=1, keepdims=True))


def test_a_box_keeps_flat_faces() -> None:
    vertices, normals, faces = split_normals(BOX.vertices, BOX.faces)
    assert len(vertices) == 24
    np.testing.assert_allclose(normals[faces], face_normals(vertices, faces)[:, None].repeat(3, 1), atol=1e-6)


def test_a_sphere_becomes_smooth_with_the_normals_of_a_sphere() -> None:
    vertices, normals, _ = split_normals(SPHERE.vertices, SPHERE.faces)
    assert len(vertices) == len(SPHERE.vertices)
    assert (vertices * normals).sum(axis=1).min() > 0.9995


def test_a_cylinder_keeps_its_rims_and_is_smooth_round() -> None:
    vertices, normals, _ = split_normals(CYLINDER.vertices, CYLINDER.faces)
    cap = np.abs(normals[:, 2]) > 0.5
    np.testing.assert_allclose(np.abs(normals[cap, 2]), 1.0, atol=1e-6)
    radial = vertices[~cap] * [1, 1, 0]
    np.testing.assert_allclose(normals[~cap], radial / np.linalg.norm(radial, axis=1)[:, None], atol=1e-3)


@pytest.mark.parametrize(("angle_deg", "vertices"), [(91.0, 8), (89.0, 24)])
def test_the_limit_is_the_angle_between_the_faces(angle_deg: float, vertices: int) -> None:
    assert len(split_normals(BOX.vertices, BOX.faces, angle_deg)[0]) == vertices


def test_a_vertex_normal_weighs_faces_by_their_angle_so_that_triangulation_does_not_tilt_it() -> None:
    vertices, normals, _ = split_normals(BOX.vertices, BOX.faces, 91.0)
    np.testing.assert_allclose(normals, np.sign(vertices) / np.sqrt(3), atol=1e-6)


def test_unmerged_triangles_give_the_same_as_merged_ones() -> None:
    soup = SPHERE.vertices[SPHERE.faces].reshape(-1, 3)
    merged = split_normals(SPHERE.vertices, SPHERE.faces)
    for one, other in zip(merged, split_normals(soup, np.arange(len(soup)).reshape(-1, 3)), strict=True):
        np.testing.assert_array_equal(one, other)


def test_faces_keep_their_order_and_corners() -> None:
    vertices, _, faces = split_normals(CYLINDER.vertices, CYLINDER.faces)
    np.testing.assert_array_equal(vertices[faces], CYLINDER.vertices.astype(np.float32)[CYLINDER.faces])


def test_a_surface_stays_smooth_where_a_third_face_stands_on_its_edge() -> None:
    #      2
    #   0 -+- 1 in the plane, 4 above the edge 2-3
    #      3
    points = np.array([[-1, 0, 0], [1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1]], float)
    vertices, normals, faces = split_normals(points, np.array([[0, 3, 2], [2, 3, 4], [3, 1, 2]]))
    assert len(vertices) == 4 + 3
    np.testing.assert_allclose(normals[faces[[0, 2]]], np.broadcast_to([0, 0, 1], (2, 3, 3)), atol=1e-6)


def test_two_boxes_that_share_an_edge_stay_flat() -> None:
    there = trimesh.creation.box((1, 1, 1)).apply_translation((1, 1, 0))
    both = trimesh.util.concatenate([trimesh.creation.box((1, 1, 1)), there])
    vertices, normals, faces = split_normals(both.vertices, both.faces)
    np.testing.assert_allclose(normals[faces[:, 0]], face_normals(vertices, faces), atol=1e-6)


def test_faces_that_touch_only_at_a_point_do_not_share_a_normal() -> None:
    points = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [-1, 0, 0.1], [0, -1, 0.1]], float)
    assert len(split_normals(points, np.array([[0, 1, 2], [0, 3, 4]]))[0]) == 6


def test_a_triangle_without_area_still_has_unit_normals() -> None:
    points = np.array([[0, 0, 0], [1, 0, 0], [2, 0, 0]], float)
    normals = split_normals(points, np.array([[0, 1, 2]]))[1]
    np.testing.assert_allclose(np.linalg.norm(normals, axis=1), 1.0, atol=1e-6)


def test_nothing_gives_nothing() -> None:
    assert [len(rows) for rows in split_normals(np.zeros((3, 3)), np.zeros((0, 3), int))] == [0, 0, 0]


@given(st.integers(0, 2**32 - 1), st.integers(3, 40))
def test_any_triangles_get_unit_normals_and_keep_their_corners(seed: int, count: int) -> None:
    random = np.random.default_rng(seed)
    points = random.integers(-3, 4, (count, 3)).astype(np.float32)
    given_faces = random.integers(0, count, (2 * count, 3))
    vertices, normals, faces = split_normals(points, given_faces)
    np.testing.assert_array_equal(vertices[faces], points[given_faces])
    np.testing.assert_allclose(np.linalg.norm(normals, axis=1), 1.0, atol=1e-5)


def test_merging_keeps_the_order_of_first_use_and_drops_what_is_unused() -> None:
    points = np.array([[9, 9, 9], [2, 0, 0], [1, 0, 0], [0, 1, 0], [1, -0.0, 0]], float)
    vertices, faces = merged_by_position(points, np.array([[1, 2, 3], [4, 3, 1]]))
    np.testing.assert_array_equal(vertices, points[[1, 2, 3]])
    np.testing.assert_array_equal(faces, [[0, 1, 2], [1, 2, 0]])


def test_cleaning_leaves_a_sound_mesh_alone() -> None:
    vertices, faces, found, *_ = cleaned(SPHERE.vertices, SPHERE.faces)
    np.testing.assert_array_equal(vertices[faces], SPHERE.vertices.astype(np.float32)[SPHERE.faces])
    assert found == []


def test_an_open_piece_is_told_and_left() -> None:
    _, kept, found, _, turned = cleaned(BOX.vertices, BOX.faces[1:])
    assert len(kept) == 11
    assert found == ["is not closed: 3 edges of one triangle only"]
    assert not turned.any()


@pytest.mark.parametrize("turned_over", [[0], [3, 7], list(range(7)), list(range(11))])
def test_triangles_that_look_the_other_way_are_turned_until_all_look_outwards(turned_over: list[int]) -> None:
    faces = BOX.faces.copy()
    faces[turned_over] = faces[turned_over][:, ::-1]
    mended = cleaned(BOX.vertices, faces)
    np.testing.assert_array_equal(np.flatnonzero(mended.turned), turned_over)
    corners = mended.vertices[mended.faces].astype(float)
    assert np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6 == pytest.approx(6.0)


def test_a_fault_is_a_point_that_is_no_number_or_is_missing() -> None:
    assert fault(BOX.vertices, BOX.faces) is None
    assert "2 points" in str(fault(np.array([[np.nan, 0, 0], [0, np.inf, 0], [1, 1, 1]]), BOX.faces))
    assert "does not have" in str(fault(BOX.vertices[:4], BOX.faces))
