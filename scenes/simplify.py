"""Meshes simplified to a number of triangles, by quadric error."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from .merging import merged_by_position
from .piece import Piece

LEAST = 200
"""Triangles that a piece keeps."""
MANY_TRIANGLES = 2_000_000


def simplified(pieces: Sequence[Piece], triangles: int) -> tuple[list[Piece], list[str]]:
    """Return pieces of about so many triangles together, each by its share, and what was done in words.

    What has paint keeps its triangles, since its colours belong to them.
    """
    from fast_simplification import simplify

    total = sum(len(piece.faces) for piece in pieces)
    if total <= triangles:
        return list(pieces), []
    plain = sum(len(piece.faces) for piece in pieces if piece.paint is None)
    wanted = max(0, triangles - (total - plain)) / max(plain, 1)
    kept = []
    for piece in pieces:
        count = max(LEAST, round(wanted * len(piece.faces)))
        if piece.paint is None and count < len(piece.faces):
            points, faces = merged_by_position(piece.vertices, piece.faces)
            points, faces = simplify(points, faces.astype(np.int32), target_count=count)
            kept.append(replace(piece, vertices=points, faces=faces.astype(np.int64)))
        else:
            kept.append(piece)
    left = sum(len(piece.faces) for piece in kept)
    notes = [f"simplified from {total} to {left} triangles, as triangles = {triangles} asks"]
    if plain < total:
        notes.append("parts with colours of their own keep all their triangles")
    return kept, notes


def offer(pieces: Sequence[Piece]) -> list[str]:
    """Return a note that a mesh of very many triangles could be simplified."""
    count = sum(len(piece.faces) for piece in pieces)
    if count <= MANY_TRIANGLES:
        return []
    return [
        f"{count} triangles take long to load and much memory: triangles = 1000000 under [subject] simplifies the mesh "
        "and looks the same on a sheet"
    ]
