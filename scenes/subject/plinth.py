"""A plain base put raised_on_plinth a model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from scenes.arrangement.subject_model import PlinthModel
from scenes.mesh.piece import Piece
from scenes.mesh.triangles import bounds

from .subject import PLINTH

BEVEL_CM = 0.1


def raised_on_plinth(pieces: Sequence[Piece], plinth: PlinthModel) -> list[Piece]:
    """Return pieces that stand on the table, in cm, raised onto a plinth, and the plinth as the last piece."""
    low, high = bounds(piece.vertices for piece in pieces)
    lifted = [replace(piece, vertices=piece.vertices + np.array([0, 0, plinth.height_cm])) for piece in pieces]
    half = (high - low)[:2] / 2 + plinth.margin_cm
    vertices, faces = _block(half, (low + high)[:2] / 2, plinth.height_cm)
    return [*lifted, Piece(PLINTH, vertices, faces, plinth.base)]


def _block(half: Vector, centre: Vector, height_cm: float) -> tuple[Vector, NDArray[np.int64]]:
    """Return a box on z = 0 with its upper edges bevelled."""
    bevel = min(BEVEL_CM, height_cm / 2, *half)
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    levels = [(half, 0.0), (half, height_cm - bevel), (half - bevel, height_cm)]
    vertices = np.concatenate([np.column_stack([centre + corners * h, np.full(4, z)]) for h, z in levels])
    faces = [[0, 2, 1], [0, 3, 2], [8, 9, 10], [8, 10, 11]]
    for level in (0, 4):
        for i in range(4):
            a, b = level + i, level + (i + 1) % 4
            faces += [[a, b, b + 4], [a, b + 4, a + 4]]
    return vertices, np.array(faces, np.int64)
