"""Print supports among pieces, recognised by name or as thin columns that taper upward from the floor."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from scenes.mesh.piece import Piece

NAMED = re.compile(r"(?<![a-z])(supports?|rafts?|sprues?)(?![a-z])")
FEWEST = 6
"""Columns; fewer may be legs, wheels or masts."""
SLENDER = 4.0
"""Height over width of a column."""
TAPER = 0.5
"""Largest ratio of the width at the top to that at the foot."""
NEAR = 0.02
"""Of the height of all, within which a column stands on the floor."""
LISTED = 12


def support_notes(pieces: Sequence[Piece]) -> list[str]:
    """Return a note on pieces, z up, that are named or shaped like print supports."""
    named = [piece.name for piece in pieces if NAMED.search(piece.name.lower())]
    if named:
        return [f"parts are named as print supports are: leave them out with {_hidden(named)} under [subject]"]
    found = _columns(pieces)
    if not found:
        return []
    return [f"{len(found)} parts look like print supports: if they are, leave them out with {_hidden(found)}"]


def _columns(pieces: Sequence[Piece]) -> list[str]:
    """Return the names of six or more slender columns that taper upwards from the floor, or from a raft on it.

    Only where nothing else stands on the floor, since supports carry a printed model above it.
    """
    ends = np.array([(piece.vertices.min(axis=0), piece.vertices.max(axis=0)) for piece in pieces], np.float64)
    low, size = ends[:, 0], np.ptp(ends, axis=1)
    floor, height = low[:, 2].min(), np.ptp(ends[..., 2])
    on_floor = low[:, 2] <= floor + NEAR * height
    wide = size[:, :2].max(axis=1)
    raft = on_floor & (size[:, 2] < 0.05 * height) & (wide > 0.3 * wide.max())
    if raft.any():
        on_floor |= low[:, 2] <= ends[raft, 1, 2].max() + NEAR * height
    thin = on_floor & ~raft & (size[:, 2] > SLENDER * wide)
    column = np.array([bool(is_thin) and _tapers(piece) for is_thin, piece in zip(thin, pieces, strict=True)])
    if column.sum() < FEWEST or (on_floor & ~raft & ~column).any() or not (~on_floor).any():
        return []
    return [piece.name for piece, chosen in zip(pieces, column | raft, strict=True) if chosen]


def _tapers(piece: Piece) -> bool:
    heights = piece.vertices[:, 2]
    low, high = heights.min(), heights.max()
    foot = _width(piece.vertices[heights <= low + 0.1 * (high - low)])
    return _width(piece.vertices[heights >= high - 0.1 * (high - low)]) <= TAPER * foot


def _width(points: NDArray[np.floating]) -> float:
    return float(np.ptp(points[:, :2], axis=0).max())


def _hidden(names: Sequence[str]) -> str:
    listed = ", ".join(f'"{name}"' for name in names[:LISTED])
    return f"hide = [{listed}{', …' if len(names) > LISTED else ''}]"
