"""Shells: components of triangles that share points, and which closed ones are inside out."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .merging import edge_keys

LARGEST = 100
"""Of the largest shells, within which cavities are looked for."""


class Shells(NamedTuple):
    """The shell of each face (m,); the lowest and highest corner of each shell (k, 3)."""

    label: NDArray[np.int64]
    low: NDArray[np.floating[Any]]
    high: NDArray[np.floating[Any]]


def shells(points: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]) -> Shells:
    """Return the shells of faces (m, 3) on merged points (n, 3), all of them used."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    rows, columns = np.concatenate([faces[:, 0], faces[:, 1]]), np.concatenate([faces[:, 1], faces[:, 2]])
    graph = coo_array((np.ones(len(rows), bool), (rows, columns)), shape=(len(points), len(points)))
    _, shell = connected_components(graph, directed=False)
    order = np.argsort(shell, kind="stable")
    starts = np.flatnonzero(np.diff(shell[order], prepend=-1))
    low, high = (ends.reduceat(points[order], starts, axis=0) for ends in (np.minimum, np.maximum))
    return Shells(shell[faces[:, 0]], low, high)


def inside_out(points: NDArray[np.floating[Any]], faces: NDArray[np.int64]) -> tuple[NDArray[np.bool_], int]:
    """Return a mask (m,) of faces on closed shells of negative volume, and the number of those shells.

    A shell within the bounding box of a large one is a cavity, and not inside out. Unused points do not count.
    """
    if not len(faces):
        return np.zeros(0, bool), 0
    used = np.zeros(len(points), bool)
    used[faces] = True
    points, faces = points[used], (np.cumsum(used) - 1)[faces]
    label, low, high = shells(points, faces)
    inverted = _volumes(points, faces, label) < 0
    if inverted.any():
        inverted &= _closed(faces, label)
    for outer in np.argsort(-(high - low).max(axis=1), kind="stable")[:LARGEST]:
        within = (low >= low[outer]).all(axis=1) & (high <= high[outer]).all(axis=1)
        within[outer] = False
        inverted &= ~within
    return inverted[label], int(inverted.sum())


def _closed(faces: NDArray[np.int64], label: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Return which shells (k,) have two faces at every edge."""
    key = edge_keys(faces.reshape(-1), np.roll(faces, -1, axis=1).reshape(-1))
    order = np.argsort(key)
    first = np.flatnonzero(np.diff(key[order], prepend=-1))
    lone = order[first[np.diff(first, append=len(key)) != 2]]
    closed = np.ones(label.max() + 1, bool)
    closed[label[lone // 3]] = False
    return closed


def _volumes(
    points: NDArray[np.floating[Any]], faces: NDArray[np.int64], label: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Return the signed volume of each shell (k,), positive where its normals point outward: divergence theorem."""
    near = points.astype(np.float64) - points.mean(axis=0, dtype=np.float64)
    a, b, c = (near[faces[:, i]] for i in range(3))
    return np.bincount(label, np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0).astype(np.float64)
