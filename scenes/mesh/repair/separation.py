"""One lump taken apart into its connected pieces, and what is tiny and far away left out."""

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
"""Of the faces, under which connected triangles are no piece of their own."""
STRAY_SHARE = 1e-3
"""Of the area, under which what lies far away is left out."""


def taken_apart(piece: Piece) -> tuple[list[Piece], list[str]]:
    """Return the connected pieces of one lump, and what was done, in words.

    Triangles hang together where they share a point. Pieces are "piece 1", "piece 2", …, the largest first; crumbs of
    few triangles come last, together, as "crumbs". A lump of more than 60 pieces stays one. Its points are merged.
    """
    lumps = _lumps(piece)
    stray = astray(lumps.areas, lumps.low, lumps.high)
    notes = []
    if stray.any():
        notes.append(f"left out {_few(int(stray.sum()))}: tiny, and farther away than the model is large")
        piece = part_of(piece, ~stray[lumps.label])
        lumps = _lumps(piece)
    crumb = lumps.counts < max(4, CRUMB_SHARE * len(piece.faces))
    large = np.flatnonzero(~crumb)
    if len(large) > MOST_PIECES or not len(large):
        count = len(large) or len(crumb)
        notes.append(f"it is one part of {count} connected pieces, too many to be named one by one")
    if not 2 <= len(large) <= MOST_PIECES:
        return [piece], notes
    order = large[np.argsort(-lumps.areas[large], kind="stable")]
    found = [part_of(piece, lumps.label == number, f"piece {i + 1}") for i, number in enumerate(order)]
    rest = crumb[lumps.label]
    return [*found, *([part_of(piece, rest, "crumbs")] if rest.any() else [])], notes


def without_strays(pieces: Sequence[Piece]) -> tuple[list[Piece], list[str]]:
    """Return pieces without tiny ones that lie farther from the rest than that is large, and a note of those."""
    ends = np.array([bounds([piece.vertices]) for piece in pieces])
    stray = astray(np.array([areas(piece.vertices, piece.faces).sum() for piece in pieces]), ends[:, 0], ends[:, 1])
    lost = [piece.name for piece, far in zip(pieces, stray, strict=True) if far]
    if not lost:
        return list(pieces), []
    named = listed([f"'{name}'" for name in lost], 3)
    kept = [piece for piece, far in zip(pieces, stray, strict=True) if not far]
    return kept, [f"left out {named}: tiny, and farther away than the model is large"]


def astray(areas: NDArray[Any], low: NDArray[Any], high: NDArray[Any]) -> NDArray[np.bool_]:
    """Return which of several things (n,) are tiny and lie farther from the rest than the rest is large.

    `low` and `high` are their bounds (n, 3). The rest begins with all that is not tiny, and takes in what is near.
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
    """Return some of a piece's faces, by a mask, as a piece, and the points that they use."""
    faces = piece.faces[chosen]
    used = np.zeros(len(piece.vertices), bool)
    used[faces] = True
    number = np.cumsum(used) - 1
    colour_map = piece.colour_map and piece.colour_map.of(chosen)
    return replace(
        piece, name=name or piece.name, vertices=piece.vertices[used], faces=number[faces], colour_map=colour_map
    )


class _Lumps(NamedTuple):
    """The connected lump of each face (m,); of each lump its faces, area and bounds (k, 3)."""

    label: NDArray[np.int64]
    counts: NDArray[np.int64]
    areas: NDArray[np.float64]
    low: NDArray[np.floating[Any]]
    high: NDArray[np.floating[Any]]


def _lumps(piece: Piece) -> _Lumps:
    """Return the connected lumps of a piece whose points are merged, none of them unused."""
    label, low, high = shells(piece.vertices, piece.faces)
    size = np.bincount(label, areas(piece.vertices, piece.faces)).astype(np.float64)
    return _Lumps(label, np.bincount(label), size, low, high)


def _few(number: int) -> str:
    return "one connected piece" if number == 1 else f"{number} connected pieces"
