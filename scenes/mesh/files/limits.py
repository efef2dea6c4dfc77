"""How much a mesh file may hold: more is told in a sentence before it is read."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Final

from scenes.errors import InputError
from scenes.mesh.piece import Piece

LARGEST_BYTES: Final = 3 * 2**30
"""Of a mesh file, or of one beside it."""
MOST_TRIANGLES: Final = 50_000_000
MOST_PIECES: Final = 10_000
FARTHEST: Final = 1e12
"""Of a point from the origin, in any unit: beyond it single precision runs out on the way."""
NEAREST: Final = 1e-12
"""Of the farthest point from the origin, in any unit."""


def refuse_large(path: Path) -> None:
    """Raise InputError where a file is larger than any mesh read here."""
    size = path.stat().st_size
    if size > LARGEST_BYTES:
        raise InputError(
            f"{path.name} holds {size} bytes, more than the {LARGEST_BYTES} that are read: simplify the mesh first"
        )


def refuse_far(path: Path, pieces: Iterable[Piece]) -> None:
    """Raise InputError where points lie farther out than any model, or all in one place; no numbers are told later."""
    farthest = 0.0
    for piece in pieces:
        far = float(max(piece.vertices.max(initial=0), -piece.vertices.min(initial=0)))
        farthest = max(farthest, far)
        if FARTHEST < far < float("inf"):
            raise InputError(
                f"{path.name}: part '{piece.name}' has a point {far:.3g} units out, which is no model's size: "
                "repair the mesh or export it again"
            )
    if 0 < farthest < NEAREST:
        raise InputError(f"{path.name} is {farthest:.1g} units large, which is no model's size: export it again")


def counted_pieces(path: Path, pieces: Iterable[Piece]) -> list[Piece]:
    """Return the pieces as a list; InputError as soon as they or their triangles are too many."""
    kept: list[Piece] = []
    triangles = 0
    for piece in pieces:
        kept.append(piece)
        triangles += len(piece.faces)
        if len(kept) > MOST_PIECES:
            raise InputError(f"{path.name} puts up more than {MOST_PIECES} pieces: join some, or export it again")
        if triangles > MOST_TRIANGLES:
            raise InputError(f"{path.name} puts up more than {MOST_TRIANGLES} triangles: simplify the mesh first")
    return kept
