"""Vertex normals, split where a surface has a crease."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from .merging import Floats, edge_keys, merged_by_position

Indices = NDArray[np.int32]

CREASE_DEG = 35.0
_MOST_FACES_PAIRED = 4  # at an edge of more faces than this, only near neighbours in the list are compared


def split_normals(
    vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]], angle_deg: float = CREASE_DEG
) -> tuple[Floats, Floats, Indices]:
    """Return vertices, unit normals and faces, the vertices split where the surface has a crease.

    Vertices are merged by position first. Two faces at a vertex share a normal where a chain of edges
    at that vertex joins them, each bent by less than ``angle_deg``; the normal is the mean of the faces'
    normals weighted by their angle at the vertex (Thürmer and Wüthrich 1998). Faces keep their order.
    Any number of faces may meet at an edge; faces without an area share with none.
    """
    points, merged = merged_by_position(vertices, faces)
    if not len(merged):
        return points, np.zeros((0, 3), np.float32), np.zeros((0, 3), np.int32)
    face_normals, angles = _normals_and_angles(points, merged)
    labels, count = _smooth_corners(merged, face_normals, np.cos(np.radians(angle_deg)))

    normals = np.stack(
        [np.bincount(labels, (angles * face_normals[:, i, None]).reshape(-1), minlength=count) for i in range(3)],
        axis=1,
    )
    some_corner = np.empty(count, np.int64)
    some_corner[labels] = np.arange(len(labels))
    length = np.linalg.norm(normals, axis=1)
    normals = np.where(length[:, None] > 1e-9, normals, face_normals[some_corner // 3])
    normals[~normals.any(axis=1)] = (0.0, 0.0, 1.0)
    normals = normals / np.linalg.norm(normals, axis=1, keepdims=True)
    positions = points[merged.reshape(-1)[some_corner]]
    return positions, normals.astype(np.float32), labels.reshape(-1, 3).astype(np.int32)


def _normals_and_angles(points: Floats, faces: NDArray[np.int64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return unit face normals (m, 3), zero for a face without area, and corner angles (m, 3) in radians."""
    corners = points.astype(np.float64)
    a, b, c = (corners[faces[:, i]] for i in range(3))
    edges = b - a, c - b, a - c
    normals = np.cross(edges[0], edges[1])
    length = np.linalg.norm(normals, axis=1)
    angles = np.stack([np.arctan2(length, -np.einsum("ij,ij->i", edges[i], edges[i - 1])) for i in range(3)], axis=1)
    return np.divide(normals, length[:, None], out=np.zeros_like(normals), where=length[:, None] > 0), angles


def _smooth_corners(
    faces: NDArray[np.int64], face_normals: NDArray[np.float64], least_cosine: float
) -> tuple[NDArray[np.int64], int]:
    """Return for each of the 3 m corners the number of its smooth fan, and how many fans there are."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    corner = np.arange(faces.size)
    next_corner = corner - corner % 3 + (corner + 1) % 3
    start, end = faces.reshape(-1), faces.reshape(-1)[next_corner]
    low, high = np.where(start < end, corner, next_corner), np.where(start < end, next_corner, corner)
    key = edge_keys(start, end)
    order = np.argsort(key, kind="stable")
    key = key[order]

    links = []
    for step in range(1, _MOST_FACES_PAIRED):
        same = np.flatnonzero(key[step:] == key[:-step])
        if not len(same):
            break
        one, other = order[same], order[same + step]
        smooth = np.einsum("ij,ij->i", face_normals[one // 3], face_normals[other // 3]) > least_cosine
        one, other = one[smooth], other[smooth]
        links += [(low[one], low[other]), (high[one], high[other])]
    if not links:
        return corner, faces.size
    rows, columns = (np.concatenate(ends) for ends in zip(*links, strict=True))
    graph = coo_array((np.ones(len(rows), bool), (rows, columns)), shape=(faces.size, faces.size))
    count, labels = connected_components(graph, directed=False)
    return labels.astype(np.int64), int(count)
