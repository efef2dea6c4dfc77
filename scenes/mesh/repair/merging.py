"""Points merged by position, and edges identified by their ends."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
_HASH_FACTORS = (0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9)


def without_spare_points(
    vertices: NDArray[Any], faces: NDArray[np.integer[Any]]
) -> tuple[NDArray[Any], NDArray[np.int64]]:
    """Return vertices and faces, reduced to the used vertices where these are fewer than all."""
    if len(vertices) <= faces.size:
        return vertices, np.asarray(faces, np.int64)
    return vertices[faces.reshape(-1)], np.arange(faces.size).reshape(faces.shape)


def merged_by_position(
    vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]
) -> tuple[Floats, NDArray[np.int64]]:
    """Return distinct vertices (k, 3) and faces (m, 3) on them.

    Vertices merge where their float32 positions are equal, in the order in which faces first use them. Unused vertices
    are dropped.
    """
    vertices, faces = without_spare_points(vertices, np.asarray(faces))
    corners = faces.reshape(-1)
    points = np.asarray(vertices, np.float32) + np.float32(0)  # no -0.0
    first, label = first_rows(points.view(np.uint32))
    used = label[corners]
    first_use, number = _in_order_of_use(used, len(first))
    return points[first[used[first_use]]], number.reshape(-1, 3)


def edge_keys(start: NDArray[np.int64], end: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return a key of each edge that does not depend on its direction."""
    return (np.minimum(start, end) << 32) | np.maximum(start, end)


def first_rows(rows: NDArray[Any]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the index of the first of each distinct row of integers (n, 3), and the number of each row among those.

    Rows are sorted by a hash, several times faster than by three columns; where two different rows share a hash, they
    are sorted by columns.
    """
    keys = np.zeros(len(rows), np.uint64)
    for column, factor in enumerate(_HASH_FACTORS):
        keys = (keys ^ rows[:, column].astype(np.uint64)) * np.uint64(factor)
        keys ^= keys >> np.uint64(29)
    order = np.argsort(keys)
    keys = keys[order]
    label = np.empty(len(rows), np.int64)
    label[order] = np.cumsum(keys != np.concatenate([keys[:1], keys[:-1]]))
    del order, keys
    first, number = _in_order_of_use(label, len(rows))
    if not np.array_equal(rows[first][number], rows):
        label = np.unique(rows, axis=0, return_inverse=True)[1].reshape(-1)
        first, number = _in_order_of_use(label, len(rows))
    return first, number


def _in_order_of_use(labels: NDArray[np.int64], count: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the first position of each label below `count`, in order of position, and the labels renumbered so."""
    place = np.full(count, -1)
    place[labels[::-1]] = np.arange(len(labels))[::-1]  # of several, the last assigned stays
    used = np.flatnonzero(place >= 0)
    order = used[np.argsort(place[used])]
    place_of = place[order]
    place[order] = np.arange(len(order))
    return place_of, place[labels]
