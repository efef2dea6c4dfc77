"""Points all over triangles leave no hole in an outline, however large, small or thin the triangles are."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from gallery.diagram.views.outline import covering_points, outline_of_points
from materials.arrays import Vector

CELL = 0.05
TRIANGLES = arrays(float, (3, 2), elements=st.floats(-3, 3, width=32))
FACE = np.array([[0, 1, 2]], np.int32)


def _doubled_area(triangle: Vector) -> float:
    (ax, ay), (bx, by) = triangle[1] - triangle[0], triangle[2] - triangle[0]
    return abs(float(ax * by - ay * bx))


@given(TRIANGLES)
def test_points_cover_a_triangle_and_nothing_beside_it(triangle: Vector) -> None:
    points = np.concatenate(list(covering_points(triangle, FACE, CELL)))
    outline = outline_of_points([points], triangle.min(axis=0), triangle.max(axis=0), CELL)
    around = float(np.linalg.norm(triangle - np.roll(triangle, 1, axis=0), axis=1).sum())
    area = float((outline.covered >= 0.5).sum()) * CELL**2
    assert abs(area - _doubled_area(triangle) / 2) <= CELL * around + 9 * CELL**2


@given(TRIANGLES)
def test_every_corner_is_covered_and_points_stay_in_the_triangles_bounds(triangle: Vector) -> None:
    points = np.concatenate(list(covering_points(triangle, FACE, CELL)))
    assert all(np.abs(points - corner).max(axis=1).min() < 1e-6 for corner in triangle)
    assert (points >= triangle.min(axis=0) - 1e-6).all()
    assert (points <= triangle.max(axis=0) + 1e-6).all()


def test_a_needle_takes_few_points() -> None:
    needle = np.array([[0.0, 0.0], [50.0, 0.0], [50.0, 0.001]])
    assert sum(map(len, covering_points(needle, FACE, CELL))) < 10 * 50 / CELL


def test_pieces_of_a_mesh_are_covered_as_one() -> None:
    x, y = np.meshgrid(np.linspace(0, 1, 30), np.linspace(0, 1, 30))
    vertices = np.column_stack([x.ravel(), y.ravel()])
    corner = np.arange(29)[:, None] * 30 + np.arange(29)
    halves = [np.stack([corner, corner + 1, corner + 31], -1), np.stack([corner, corner + 31, corner + 30], -1)]
    faces = np.concatenate([half.reshape(-1, 3) for half in halves]).astype(np.int32)
    outline = outline_of_points(covering_points(vertices, faces, CELL), np.zeros(2), np.ones(2), CELL)
    inside = (np.abs(outline.across - 0.5) < 0.4)[None] & (np.abs(outline.up - 0.5) < 0.4)[:, None]
    assert outline.covered[inside].min() > 0.999
