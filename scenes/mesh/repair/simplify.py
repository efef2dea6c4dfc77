"""Meshes simplified to a number of triangles, by quadric error metrics."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scenes.mesh.colour_map import ColourMap
from scenes.mesh.piece import Piece

LEAST_TRIANGLES = 200
"""Triangles that a piece keeps."""
MANY_TRIANGLES = 2_000_000
_INWARDS = 0.2


def simplified(pieces: Sequence[Piece], triangles: int) -> tuple[list[Piece], list[str]]:
    """Return pieces of about so many triangles together, each by its share, and notes.

    Colours of corners are taken from the nearest former triangles. A piece with a picture or an opacity
    keeps its triangles, which its texture coordinates belong to.
    """
    total = sum(len(piece.faces) for piece in pieces)
    if total <= triangles:
        return list(pieces), []
    kept = [_reduced(piece, max(LEAST_TRIANGLES, round(triangles / total * len(piece.faces)))) for piece in pieces]
    left = sum(len(piece.faces) for piece in kept)
    notes = [f"simplified from {total} to {left} triangles, as triangles = {triangles} asks"]
    if any(_has_picture(piece) for piece in pieces):
        notes.append("parts with a picture keep all their triangles")
    return kept, notes


def simplifying_hint(pieces: Sequence[Piece]) -> list[str]:
    """Return a note where a mesh of very many triangles could be simplified."""
    count = sum(len(piece.faces) for piece in pieces)
    if count <= MANY_TRIANGLES:
        return []
    return [
        f"{count} triangles take long to load and much memory: triangles = 1000000 under [subject] simplifies the mesh "
        "and looks the same on a sheet"
    ]


def _has_picture(piece: Piece) -> bool:
    return piece.opacity_map is not None or (piece.colour_map is not None and piece.colour_map.picture is not None)


def _reduced(piece: Piece, count: int) -> Piece:
    """Return a piece with merged points simplified to so many triangles, with its colours."""
    from fast_simplification import simplify

    if count >= len(piece.faces) or _has_picture(piece):
        return piece
    points, faces = simplify(piece.vertices.astype(np.float32), piece.faces.astype(np.int32), target_count=count)
    colour_map = piece.colour_map and ColourMap(_colours_at(piece, piece.colour_map.corners, points[faces]))
    return replace(piece, vertices=points, faces=faces.astype(np.int64), colour_map=colour_map)


def _colours_at(piece: Piece, colours: NDArray[np.float32], corners: NDArray[np.floating[Any]]) -> NDArray[np.float32]:
    """Return the colours (m, 3, 3) at the corners (m, 3, 3) of new triangles, each that of the nearest of a piece.

    They are looked up slightly inside each triangle, so that edges between two colours stay sharp.
    """
    from scipy.spatial import KDTree

    middle = corners.mean(axis=1, keepdims=True)
    near = KDTree(piece.vertices[piece.faces].mean(axis=1), balanced_tree=False)
    _, face = near.query(corners + _INWARDS * (middle - corners))
    return np.asarray(colours.mean(axis=1)[face])
