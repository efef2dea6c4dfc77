"""The subject's outline from one side, from points on its surface."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from scenes.subject.subject import Subject

from .projection import Projection

CELLS: Final = 240
"""Along the longer side of what the subject covers."""
POINTS: Final = 400_000
BORDER: Final = 4
"""Free cells round it, so that every outline closes."""


@dataclass(frozen=True, eq=False)
class Outline:
    """Where the subject covers the drawing: a grid with the middles of its columns and rows, cm.

    Parameters
    ----------
    across, up : (columns,), (rows,)
        cm of the drawing.
    covered : (rows, columns)
        0 to 1; the outline is at a half.
    """

    across: Vector
    up: Vector
    covered: NDArray[np.float64]


def outline_of(subject: Subject, projection: Projection) -> Outline:
    """Return the subject's outline from one side."""
    return outline_of_points(projection.flat(np.concatenate([subject.surface_points(POINTS), subject.tips_cm])))


def outline_of_points(points: Vector) -> Outline:
    """Return the outline of what points (n, 2) lie all over, cm."""
    from scipy.ndimage import binary_closing, gaussian_filter

    low, high = points.min(axis=0), points.max(axis=0)
    cell = float((high - low).max()) / CELLS or 1.0
    columns, rows = np.ceil((high - low) / cell).astype(int) + 2 * BORDER + 1
    place = ((points - low) / cell).round().astype(int) + BORDER
    covered = np.zeros((rows, columns), bool)
    covered[place[:, 1], place[:, 0]] = True
    covered = binary_closing(covered, np.ones((3, 3)), iterations=2)
    start = low - BORDER * cell
    return Outline(
        start[0] + cell * np.arange(columns), start[1] + cell * np.arange(rows),
        gaussian_filter(covered.astype(float), 0.7),
    )  # fmt: skip
