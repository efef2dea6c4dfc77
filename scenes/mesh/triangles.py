"""Geometry of points and triangles: bounding boxes, normals, areas, and the triangles of a strip."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]


def area_normals(points: NDArray[Any], faces: NDArray[np.integer[Any]]) -> Vector:
    """Return the normals (m, 3) of triangles, as long as their areas, by the right-hand rule.

    `points` are (n, 3), `faces` (m, 3) index them; computed in double precision.
    """
    a, b, c = (points[faces[:, i]].astype(np.float64) for i in range(3))
    return np.asarray(np.cross(b - a, c - a) / 2)


def areas(points: NDArray[Any], faces: NDArray[np.integer[Any]]) -> Vector:
    """Return the areas (m,) of triangles, in the square of the points' unit."""
    return np.asarray(np.linalg.norm(area_normals(points, faces), axis=1))


def bounds(clouds: Iterable[NDArray[Any]]) -> Vector:
    """Return the axis-aligned bounding box (2, 3) of several clouds of points (n, 3): lowest and highest corner."""
    ends = np.array([(cloud.min(axis=0), cloud.max(axis=0)) for cloud in clouds if len(cloud)], np.float64)
    return np.stack([ends[:, 0].min(axis=0), ends[:, 1].max(axis=0)])


def strip_faces(corners: NDArray[np.integer[Any]]) -> NDArray[np.int64]:
    """Return the triangles (m, 3) of strips of corners, of consistent winding (glTF 2.0, 3.7.2.1).

    A negative number begins another strip. Degenerate triangles, which stitch strips together, are left out.
    """
    corners = np.asarray(corners, np.int64).reshape(-1)
    if len(corners) < 3:
        return np.zeros((0, 3), np.int64)
    number = np.arange(len(corners))
    start = np.maximum.accumulate(np.where(corners < 0, number + 1, 0))
    first = number[:-2]
    odd = (first - start[:-2]) % 2
    faces = np.stack([corners[first], corners[first + 1 + odd], corners[first + 2 - odd]], axis=1)
    whole = (faces >= 0).all(axis=1) & (faces != np.roll(faces, 1, axis=1)).all(axis=1)
    return np.asarray(faces[whole])
