"""Triangles made fit to be shaded: merged, without what has no area or is there twice, turned to look outwards."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .merging import Floats, edge_keys, first_rows, merged_by_position
from .shells import inside_out

_SLIVER = 1e-8  # a face is degenerate below this multiple of its longest edge squared


class Cleaned(NamedTuple):
    """Merged points (k, 3), faces (m, 3) on them, what was found, in words.

    And for those who carry something along with the faces: their former numbers (m,), and which were turned (m,).
    """

    vertices: Floats
    faces: NDArray[np.int64]
    findings: list[str]
    kept: NDArray[np.int64]
    turned: NDArray[np.bool_]


def fault(vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]) -> str | None:
    """Return in words what makes triangles unusable, none if they can be used."""
    bad = int((~np.isfinite(vertices).all(axis=1)).sum())
    if bad:
        return f"{bad} points that are not finite numbers"
    if len(faces) and not 0 <= faces.min() <= faces.max() < len(vertices):
        return "triangles on points that it does not have"
    return None


def cleaned(vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]) -> Cleaned:
    """Return triangles worth keeping, that agree which side is out.

    Faces without area and second faces on the same three vertices are dropped. Where neighbours look to opposite
    sides, the fewer are turned. Closed shells that enclose a negative volume are turned, but for hollows within others;
    open ones are left as they are.
    """
    points, merged = merged_by_position(vertices, faces)
    sound = np.flatnonzero(_have_area(points, merged))
    first, _ = first_rows(np.sort(merged[sound], axis=1))
    kept = sound[first]
    unique = merged[kept]
    if len(kept) < len(merged):
        points, unique = merged_by_position(points, unique)  # without points of what is dropped
    found = []
    if dropped := len(merged) - len(sound):
        found.append(f"had {counted(dropped, 'triangle')} without area, which were left out")
    if doubled := len(sound) - len(kept):
        found.append(f"had {counted(doubled, 'triangle')} twice, of which one was kept")
    open_edges, crowded, reversals = _edge_faults(unique)
    turned = np.zeros(len(unique), bool)
    if reversals:
        turned = _against_most(unique)
        unique = _turned(unique, turned)
        left = _edge_faults(unique)[2]
        found.append(
            f"had {counted(int(turned.sum()), 'triangle')} that looked the other way and were turned"
            if turned.any() and not left
            else "has some triangles that look inwards"
        )
    if open_edges:
        found.append(f"is not closed: {counted(open_edges, 'edge')} of one triangle only")
    if crowded:
        found.append(f"has {counted(crowded, 'edge')} of more than two triangles")
    wrong, shells = inside_out(points, unique)
    if shells:
        unique, turned = _turned(unique, wrong), turned ^ wrong
        found.append("was found inside out and turned" if wrong.all() else _some(shells))
    return Cleaned(points, unique, found, kept, turned)


def counted(number: int, what: str) -> str:
    """Return `1 edge` or `2 edges`."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def _some(shells: int) -> str:
    return f"had {counted(shells, 'closed piece')} inside out, turned now"


def _turned(faces: NDArray[np.int64], turned: NDArray[np.bool_]) -> NDArray[np.int64]:
    return np.where(turned[:, None], faces[:, ::-1], faces)


def _have_area(vertices: Floats, faces: NDArray[np.int64]) -> NDArray[np.bool_]:
    a, b, c = (vertices[faces[:, i]].astype(np.float64) for i in range(3))
    edges = b - a, c - b, a - c
    twice_area = np.linalg.norm(np.cross(edges[0], edges[1]), axis=1)
    longest = np.maximum.reduce([np.einsum("ij,ij->i", edge, edge) for edge in edges])
    has: NDArray[np.bool_] = twice_area > _SLIVER * longest
    return has


def _edge_faults(faces: NDArray[np.int64]) -> tuple[int, int, int]:
    """Return how many edges belong to one face only, how many to more than two, how many join an out to an in."""
    if not len(faces):
        return 0, 0, 0
    start, end = faces.reshape(-1), np.roll(faces, -1, axis=1).reshape(-1)
    key = edge_keys(start, end)
    order = np.argsort(key)
    first = np.flatnonzero(np.diff(key[order], prepend=-1))
    count = np.diff(first, append=len(key))
    balance = np.add.reduceat(np.where(start < end, 1, -1)[order], first)
    return int((count == 1).sum()), int((count > 2).sum()), int(((count == 2) & (balance != 0)).sum())


def _against_most(faces: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Return which faces (m,) look to the other side than most that hang together with them by edges of two faces.

    Every face stands twice in a graph, as it is and turned; an edge joins two that agree. What is joined to its own
    turned self is a surface with one side, and stays.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    count = len(faces)
    start, end = faces.reshape(-1), np.roll(faces, -1, axis=1).reshape(-1)
    key = edge_keys(start, end)
    order = np.argsort(key, kind="stable")
    key, forward, owner = key[order], (start < end)[order], order // 3
    first = np.flatnonzero(key[1:] == key[:-1])
    alone = np.ones(len(key) + 1, bool)
    alone[1:-1] = key[1:] != key[:-1]
    first = first[alone[first] & alone[first + 2]]  # edges of just two faces
    one, other, agree = owner[first], owner[first + 1], forward[first] != forward[first + 1]
    crossing = np.where(agree, 0, count)
    rows, columns = np.concatenate([one, one + count]), np.concatenate([other + crossing, other + count - crossing])
    graph = coo_array((np.ones(len(rows), bool), (rows, columns)), shape=(2 * count, 2 * count))
    _, label = connected_components(graph, directed=False)
    as_is, reversed_ = label[:count], label[count:]
    sides = np.bincount(as_is, minlength=label.max() + 1)
    against: NDArray[np.bool_] = (sides[as_is] < sides[reversed_]) | (
        (sides[as_is] == sides[reversed_]) & (as_is > reversed_)
    )
    return against
