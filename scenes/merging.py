"""Points merged by where they are, and edges by their ends."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
_HASH_FACTORS = (0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9)


def merged_by_position(
    vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]
) -> tuple[Floats, NDArray[np.int64]]:
    """Return vertices (k, 3) without repetition and faces (m, 3) on them.

    Vertices merge where their float32 positions are equal; they keep the order in which faces first use
    them, whatever the unit. Vertices that no face uses are dropped.
    """
    corners = np.asarray(vertices, np.float32)[np.asarray(faces).reshape(-1)] + np.float32(0)  # no -0.0
    first, label = first_rows(corners.view(np.uint32))
    return corners[first], label.reshape(-1, 3)


def edge_keys(start: NDArray[np.int64], end: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return one number an edge, the same whichever way it runs."""
    return (np.minimum(start, end) << 32) | np.maximum(start, end)


def first_rows(rows: NDArray[Any]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return where each distinct row of integers (n, 3) first stands, and each row's number among those.

    Rows are sorted by a hash, which is several times faster than by three columns; should two different
    rows ever share it, they are sorted by columns.
    """
    wide = rows.astype(np.uint64)
    keys = np.zeros(len(wide), np.uint64)
    for column, factor in enumerate(_HASH_FACTORS):
        keys = (keys ^ wide[:, column]) * np.uint64(factor)
        keys ^= keys >> np.uint64(29)
    _, first, label = np.unique(keys, return_index=True, return_inverse=True)
    if not np.array_equal(rows[first[label]], rows):
        _, first, label = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    rank = np.empty(len(first), np.int64)
    order = np.argsort(first)
    rank[order] = np.arange(len(first))
    return first[order], rank[label.reshape(-1)]
