"""The subject's outline from one side, from its triangles."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from scenes.mesh.triangles import bounds
from scenes.subject.subject import Subject

from .projection import Projection

CELLS: Final = 300
"""Along the longer side of what the subject covers."""
BORDER: Final = 4
"""Free cells round it, so that every outline closes."""
MOST_FACES, MOST_POINTS = 500_000, 2_000_000
"""At a time."""
MOST_HALVINGS: Final = 64


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
    parts = [(projection.flat(part.vertices_cm), part.faces) for part in subject.parts]
    low, high = bounds(vertices for vertices, _ in parts)
    cell = float((high - low).max()) / CELLS or 1.0
    clouds = (cloud for vertices, faces in parts for cloud in covering_points(vertices, faces, cell))
    return outline_of_points(clouds, low, high, cell)


def outline_of_points(clouds: Iterable[Vector], low: Vector, high: Vector, cell: float) -> Outline:
    """Return the outline of points a cell apart, each cloud (n, 2), between two corners (2,), cm."""
    from scipy.ndimage import binary_closing, gaussian_filter

    columns, rows = np.ceil((high - low) / cell).astype(int) + 2 * BORDER + 1
    covered = np.zeros((rows, columns), bool)
    for points in clouds:
        column, row = ((points - low) / cell).round().astype(int).T + BORDER
        covered[row, column] = True
    closed = binary_closing(covered, np.ones((3, 3)))  # a cell between two rows may have no point
    start = low - BORDER * cell
    across, up = start[0] + cell * np.arange(columns), start[1] + cell * np.arange(rows)
    return Outline(across, up, gaussian_filter(closed.astype(float), 0.7))


def covering_points(vertices: NDArray[Any], faces: NDArray[np.int32], cell: float) -> Iterator[Vector]:
    """Yield points (n, d) all over triangles of vertices (v, d), a cell apart along an axis at most.

    They run along the longest side of a triangle, in rows along its shortest.
    """
    for first in range(0, len(faces), MOST_FACES):
        start, along, aside = _sides(np.asarray(vertices[faces[first : first + MOST_FACES]], dtype=float))
        long, short = _halvings(along, cell), _halvings(aside, cell)
        for pair in np.unique(MOST_HALVINGS * long + short):
            chosen = np.flatnonzero(MOST_HALVINGS * long + short == pair)
            s, t = (grid.ravel()[:, None] for grid in np.meshgrid(*map(_even, divmod(int(pair), MOST_HALVINGS))))
            for few in np.array_split(chosen, -(-len(chosen) * len(t) // MOST_POINTS)):
                points = start[few, None] + t * aside[few, None] + s * (1 - t) * along[few, None]
                yield points.reshape(-1, points.shape[2])


def _even(halvings: int) -> Vector:
    return np.linspace(0.0, 1.0, 2**halvings + 1)


def _sides(triangles: Vector) -> tuple[Vector, Vector, Vector]:
    """Return of triangles (n, 3, d) a corner, and from it the longest and the shortest side, each (n, d)."""
    sides = np.linalg.norm(triangles - np.roll(triangles, -1, axis=1), axis=2)  # from each corner to the next
    order = np.argsort(sides, axis=1)
    shortest, longest = order[:, 0], order[:, 2]
    shared = np.where((longest + 1) % 3 == shortest, shortest, longest)
    row = np.arange(len(triangles))
    ends = np.where((shared == longest), (longest + 1) % 3, longest)
    start = triangles[row, shared]
    along = triangles[row, ends] - start
    aside = triangles[row, 3 - shared - ends] - start
    return start, along, aside


def _halvings(sides: Vector, cell: float) -> NDArray[np.int_]:
    """Return how often sides (n, d) have to be halved for steps no longer than a cell."""
    return np.asarray(np.ceil(np.log2(np.maximum(np.abs(sides).max(axis=1) / cell, 1.0))), int)
