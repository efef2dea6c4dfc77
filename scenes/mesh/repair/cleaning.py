"""Triangles cleaned for shading: points merged, degenerate and duplicate faces removed, winding made consistent."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .merging import Floats, edge_keys, first_rows, merged_by_position
from .shells import inside_out

_SLIVER = 1e-8  # a face is degenerate below this multiple of its longest edge squared


class Cleaned(NamedTuple):
    """Merged points (k, 3), faces (m, 3) on them, and findings as sentences.

    `kept` holds the former indices (m,) of the faces, `turned` which of them (m,) were reversed.
    """

    vertices: Floats
    faces: NDArray[np.int64]
    findings: list[str]
    kept: NDArray[np.int64]
    turned: NDArray[np.bool_]


def fault(vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]) -> str | None:
    """Return what makes triangles unusable, as a phrase, or None."""
    bad = int((~np.isfinite(vertices).all(axis=1)).sum())
    if bad:
        return f"{bad} points that are not finite numbers"
    if len(faces) and not 0 <= faces.min() <= faces.max() < len(vertices):
        return "triangles on points that it does not have"
    return None


def cleaned(vertices: NDArray[np.floating[Any]], faces: NDArray[np.integer[Any]]) -> Cleaned:
    """Return the cleaned triangles, of consistent winding.

    Faces without area and duplicates on the same three vertices are removed. Where neighbours are wound against one
    another, the minority is reversed. Closed shells of negative volume are reversed, except cavities in others; open
    ones stay as they are.
    """
    points, merged = merged_by_position(vertices, faces)
    sound = np.flatnonzero(_have_area(points, merged))
    first, _ = first_rows(np.sort(merged[sound], axis=1))
    kept = sound[first]
    unique = merged[kept]
    if len(kept) < len(merged):
        points, unique = merged_by_position(points, unique)  # without the points of removed faces
    found = []
    if dropped := len(merged) - len(sound):
        found.append(f"had {counted(dropped, 'triangle')} without area, which were left out")
    if doubled := len(sound) - len(kept):
        found.append(f"had {counted(doubled, 'triangle')} twice, of which one was kept")
    open_edges, crowded, reversals = _edge_faults(unique)
    turned = np.zeros(len(unique), bool)
    if reversals:
        turned = _wound_against_majority(unique)
        unique = _reversed(unique, turned)
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
    inverted, shells = inside_out(points, unique)
    if shells:
        unique, turned = _reversed(unique, inverted), turned ^ inverted
        found.append("was found inside out and turned" if inverted.all() else _shells_finding(shells))
    return Cleaned(points, unique, found, kept, turned)


def counted(number: int, what: str) -> str:
    """Return `1 edge` or `2 edges`."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def _shells_finding(shells: int) -> str:
    return f"had {counted(shells, 'closed piece')} inside out, turned now"


def _reversed(faces: NDArray[np.int64], turned: NDArray[np.bool_]) -> NDArray[np.int64]:
    return np.where(turned[:, None], faces[:, ::-1], faces)


def _have_area(vertices: Floats, faces: NDArray[np.int64]) -> NDArray[np.bool_]:
    a, b, c = (vertices[faces[:, i]].astype(np.float64) for i in range(3))
    edges = b - a, c - b, a - c
    twice_area = np.linalg.norm(np.cross(edges[0], edges[1]), axis=1)
    longest = np.maximum.reduce([np.einsum("ij,ij->i", edge, edge) for edge in edges])
    has_area: NDArray[np.bool_] = twice_area > _SLIVER * longest
    return has_area


def _edge_faults(faces: NDArray[np.int64]) -> tuple[int, int, int]:
    """Return the numbers of edges with one face, with more than two, and with two faces of opposite winding."""
    if not len(faces):
        return 0, 0, 0
    start, end = faces.reshape(-1), np.roll(faces, -1, axis=1).reshape(-1)
    key = edge_keys(start, end)
    order = np.argsort(key)
    first = np.flatnonzero(np.diff(key[order], prepend=-1))
    count = np.diff(first, append=len(key))
    balance = np.add.reduceat(np.where(start < end, 1, -1)[order], first)
    return int((count == 1).sum()), int((count > 2).sum()), int(((count == 2) & (balance != 0)).sum())


def _wound_against_majority(faces: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Return a mask (m,) of faces wound against the majority of their connected component.

    Components connect by edges of two faces. The graph holds every face twice, as it is and reversed; an edge joins two
    nodes of consistent winding. A face connected to its own reverse is on a one-sided surface, and stays.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    count = len(faces)
    start, end = faces.reshape(-1), np.roll(faces, -1, axis=1).reshape(-1)
    key = edge_keys(start, end)
    order = np.argsort(key, kind="stable")
    key, forward, owner = key[order], (start < end)[order], order // 3
    first = np.flatnonzero(key[1:] == key[:-1])
    is_boundary = np.ones(len(key) + 1, bool)
    is_boundary[1:-1] = key[1:] != key[:-1]
    first = first[is_boundary[first] & is_boundary[first + 2]]  # edges of exactly two faces
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
