"""One lump taken apart into its connected pieces, and tiny pieces far away left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from .merging import merged_by_position
from .piece import Piece
from .subject import bounds

MOST_PIECES = 60
CRUMB_SHARE = 1e-4
"""Of the faces, under which connected triangles are no piece of their own."""
STRAY_SHARE = 1e-3
"""Of the area, under which what lies far away is left out."""
SUPPORT_WORDS = ("support", "raft", "sprue", "brim")


def taken_apart(piece: Piece) -> tuple[list[Piece], list[str]]:
    """Return the connected pieces of one lump, largest first, as "piece 1", "piece 2", … and a note if there are many.

    Triangles hang together where they share a point. Crumbs of few triangles come last, together, as "crumbs".
    """
    label = _connected(piece)
    counts = np.bincount(label)
    crumb = counts < max(4, CRUMB_SHARE * len(label))
    large = np.flatnonzero(~crumb)
    if len(large) < 2:
        return [piece], []
    if len(large) > MOST_PIECES:
        return [piece], [f"it is one part of {len(large)} connected pieces, too many to be named one by one"]
    areas = np.bincount(label, _areas(piece))
    order = large[np.argsort(-areas[large], kind="stable")]
    found = [_part(piece, f"piece {i + 1}", label == number) for i, number in enumerate(order)]
    rest = crumb[label]
    return [*found, *([_part(piece, "crumbs", rest)] if rest.any() else [])], []


def without_strays(pieces: Sequence[Piece]) -> tuple[list[Piece], list[str]]:
    """Return pieces without tiny ones that lie farther from the rest than that is large, and a note of those."""
    areas = [float(_areas(piece).sum()) for piece in pieces]
    total = sum(areas)
    near = [max(range(len(pieces)), key=areas.__getitem__)]
    box = bounds([_used(pieces[near[0]])])
    for i in sorted(range(len(pieces)), key=lambda i: -areas[i]):
        own = bounds([_used(pieces[i])])
        gap = np.maximum(0, np.maximum(own[0] - box[1], box[0] - own[1])).max()
        if i not in near and (areas[i] > STRAY_SHARE * total or gap <= np.ptp(box, axis=0).max()):
            near.append(i)
            box = np.stack([np.minimum(box[0], own[0]), np.maximum(box[1], own[1])])
    lost = [piece.name for i, piece in enumerate(pieces) if i not in near]
    if not lost:
        return list(pieces), []
    named = ", ".join(f"'{name}'" for name in lost[:3]) + (f" and {len(lost) - 3} more" if len(lost) > 3 else "")
    return [pieces[i] for i in sorted(near)], [f"left out {named}: tiny, and farther away than the model is large"]


def support_notes(pieces: Sequence[Piece]) -> list[str]:
    """Return a note where parts are called as print supports are."""
    found = [piece.name for piece in pieces if any(word in piece.name.lower() for word in SUPPORT_WORDS)]
    if not found:
        return []
    listed = ", ".join(f'"{name}"' for name in found[:3])
    return [f"parts named as print supports are: leave them out with hide = [{listed}] under [subject]"]


def _part(piece: Piece, name: str, chosen: NDArray[np.bool_]) -> Piece:
    used, faces = np.unique(piece.faces[chosen], return_inverse=True)
    paint = piece.paint and piece.paint.of(chosen)
    return replace(piece, name=name, vertices=piece.vertices[used], faces=faces.reshape(-1, 3), paint=paint)


def _connected(piece: Piece) -> NDArray[np.int64]:
    """Return for each face the number of the connected triangles that it belongs to."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    points, faces = merged_by_position(piece.vertices, piece.faces)
    rows, columns = np.concatenate([faces[:, 0], faces[:, 1]]), np.concatenate([faces[:, 1], faces[:, 2]])
    graph = coo_array((np.ones(len(rows), bool), (rows, columns)), shape=(len(points), len(points)))
    _, label = connected_components(graph, directed=False)
    return np.asarray(label[faces[:, 0]], np.int64)


def _areas(piece: Piece) -> NDArray[np.float64]:
    a, b, c = (np.asarray(piece.vertices[piece.faces[:, i]], np.float64) for i in range(3))
    return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2)


def _used(piece: Piece) -> NDArray[np.float64]:
    return np.asarray(piece.vertices[piece.faces.reshape(-1)], np.float64)
