"""Limits of a mesh file, checked before what exceeds them is read."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Final

from scenes.errors import InputError
from scenes.mesh.piece import Piece

LARGEST_BYTES: Final = 3 * 2**30
"""Of a mesh file, or of one beside it."""
MOST_TRIANGLES: Final = 50_000_000
MOST_COPIES: Final = 5_000_000
"""Triangles of instances, beyond those that a file stores."""
MOST_A_BYTE: Final = 4
"""Triangles that a file may store in a byte; with good compression they take about one."""
MOST_PIECES: Final = 10_000
LEAST_BYTES_A_ROW: Final = 2
"""Of a point or a face, in a file with a row for each."""
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
    """Raise InputError where points lie farther out than any model, or all in one place.

    Whoever scales the pieces later then has finite numbers.
    """
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


def refuse_many(path: Path, triangles: int, stored: int | None = None) -> None:
    """Raise InputError where triangles are too many, or too many of them are copies of the `stored` ones."""
    if triangles > MOST_TRIANGLES:
        raise InputError(
            f"{path.name} holds {triangles} triangles, more than the {MOST_TRIANGLES} that are read: "
            "simplify the mesh first"
        )
    copies = 0 if stored is None else triangles - stored
    if copies > MOST_COPIES:
        raise InputError(
            f"{path.name} puts up {triangles} triangles by copies of {stored}, more than the {MOST_COPIES} copies that "
            "are read: leave some out, or simplify the mesh first"
        )


def refuse_many_pieces(path: Path, pieces: int) -> None:
    """Raise InputError where pieces are too many."""
    if pieces > MOST_PIECES:
        raise InputError(f"{path.name} puts up more than {MOST_PIECES} pieces: join some, or export it again")
