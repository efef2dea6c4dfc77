"""A single mesh separated into its connected components, and tiny distant ones removed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from scenes.mesh.piece import Piece
from scenes.mesh.triangles import areas, bounds
from scenes.text import listed

from .shells import shells

MOST_PIECES = 60
CRUMB_SHARE = 1e-4
"""Of all faces, under which a component is not a piece of its own."""
STRAY_SHARE = 1e-3
"""Of all area, under which a distant component is removed."""


def separated(piece: Piece) -> tuple[list[Piece], list[str]]:
    """Return the connected components of a piece with merged points, and notes.

    Triangles connect where they share a point. Components are "piece 1", "piece 2", …, the largest first; those of few
    triangles come last, together, as "crumbs". A piece of more than 60 components stays one.
    """
    components = _components(piece)
    stray = strays(components.areas, components.low, components.high)
    notes = []
    if stray.any():
        notes.append(f"left out {_counted(int(stray.sum()))}: tiny, and farther away than the model is large")
        piece = part_of(piece, ~stray[components.label])
        components = _components(piece)
    crumb = components.counts < max(4, CRUMB_SHARE * len(piece.faces))
    large = np.flatnonzero(~crumb)
    if len(large) > MOST_PIECES or not len(large):
        count = len(large) or len(crumb)
        notes.append(f"it is one part of {count} connected pieces, too many to be named one by one")
    if not 2 <= len(large) <= MOST_PIECES:
        return [piece], notes
    order = large[np.argsort(-components.areas[large], kind="stable")]
    found = [part_of(piece, components.label == number, f"piece {i + 1}") for i, number in enumerate(order)]
    rest = crumb[components.label]
    return [*found, *([part_of(piece, rest, "crumbs")] if rest.any() else [])], notes


def without_strays(pieces: Sequence[Piece]) -> tuple[list[Piece], list[str]]:
    """Return pieces without tiny ones farther from the rest than the rest is large, and a note on those."""
    ends = np.array([bounds([piece.vertices]) for piece in pieces])
    stray = strays(np.array([areas(piece.vertices, piece.faces).sum() for piece in pieces]), ends[:, 0], ends[:, 1])
    lost = [piece.name for piece, far in zip(pieces, stray, strict=True) if far]
    if not lost:
        return list(pieces), []
    named = listed([f"'{name}'" for name in lost], 3)
    kept = [piece for piece, far in zip(pieces, stray, strict=True) if not far]
    return kept, [f"left out {named}: tiny, and farther away than the model is large"]


def strays(areas: NDArray[Any], low: NDArray[Any], high: NDArray[Any]) -> NDArray[np.bool_]:
    """Return a mask (n,) of components that are tiny and farther from the rest than the rest is large.

    `low` and `high` (n, 3) are their bounding boxes. The rest starts with what is not tiny and takes in near ones.
    """
    near: NDArray[np.bool_] = areas > STRAY_SHARE * areas.sum()
    near[np.argmax(areas)] = True
    while True:
        start, end = low[near].min(axis=0), high[near].max(axis=0)
        gap = np.maximum(0, np.maximum(low - end, start - high)).max(axis=1)
        joined = near | (gap <= (end - start).max())
        if (joined == near).all():
            return ~near
        near = joined


def part_of(piece: Piece, chosen: NDArray[np.bool_], name: str | None = None) -> Piece:
    """Return the faces of a piece in a mask as a piece with the points that they use."""
    faces = piece.faces[chosen]
    used = np.zeros(len(piece.vertices), bool)
    used[faces] = True
    number = np.cumsum(used) - 1
    part = replace(piece, name=name or piece.name, vertices=piece.vertices[used], faces=number[faces])
    return part.with_maps(lambda corner_map: corner_map.of(chosen))


class _Components(NamedTuple):
    """The component of each face (m,); of each component the number of faces, the area and the bounding box (k, 3)."""

    label: NDArray[np.int64]
    counts: NDArray[np.int64]
    areas: NDArray[np.float64]
    low: NDArray[np.floating[Any]]
    high: NDArray[np.floating[Any]]


def _components(piece: Piece) -> _Components:
    """Return the connected components of a piece with merged points, all of them used."""
    label, low, high = shells(piece.vertices, piece.faces)
    size = np.bincount(label, areas(piece.vertices, piece.faces)).astype(np.float64)
    return _Components(label, np.bincount(label), size, low, high)


def _counted(number: int) -> str:
    return "one connected piece" if number == 1 else f"{number} connected pieces"
