"""A mark on the table: a spot, lines and words, seen from above, in cm."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import Final

import numpy as np

from materials.arrays import Vector

STEP_CM: Final = 0.25
"""Between points along a line."""

SPOT_CM: Final = 0.8
"""Round a spot, what has to be on the mat with it."""
CORNERS: Final = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])


class Stroke(Enum):
    """How a line is drawn: width in points, and dashes in widths."""

    touches = (1.4, ())
    above = (0.8, (5, 3))
    along = (0.6, ())
    arrow = (1.0, ())
    sheet = (0.8, (12, 3, 2, 3))


@dataclass(frozen=True, eq=False)
class Line:
    """A line through points (n, 2), cm."""

    points_cm: Vector
    stroke: Stroke

    def sampled(self) -> Vector:
        """Return points (m, 2) all along it, no more than STEP_CM apart, cm."""
        return points_along(self.points_cm)


@dataclass(frozen=True, eq=False)
class Mark:
    """Something that has its place on the table.

    Parameters
    ----------
    name
        What it is called on the mat.
    words
        The lines below its name.
    at_cm : (2,)
        Its spot, where a cross is drawn if `has_cross`.
    lines
        What is drawn of it, as far as the mat goes.
    from_cm : (2,), optional
        Where the line starts along which it is measured; None of what is not measured so.
    needed_cm : (n, 2)
        Points for which pages are printed.
    """

    name: str
    words: tuple[str, ...]
    at_cm: Vector
    lines: tuple[Line, ...] = ()
    from_cm: Vector | None = None
    has_cross: bool = False
    needed_cm: Vector = field(default_factory=lambda: np.zeros((0, 2)))

    @property
    def way(self) -> Line | None:
        """The line along which it is measured."""
        return None if self.from_cm is None else Line(np.array([self.from_cm, self.at_cm]), Stroke.along)

    def drawn_cm(self) -> Vector:
        """Return points (n, 2) along all that is drawn of it."""
        lines = (*self.lines, *(() if self.way is None else (self.way,)))
        return np.vstack([np.zeros((0, 2)), *(line.sampled() for line in lines)])


def needed_for(at_cm: Vector, *lines_cm: Vector) -> Vector:
    """Return the points (n, 2) that a spot and lines (m, 2) need, with the ways to them from the centre mark."""
    ways = [np.array([(0.0, 0.0), start]) for start in (at_cm, *(line[0] for line in lines_cm))]
    return np.vstack([at_cm + SPOT_CM * CORNERS, *map(points_along, (*ways, *lines_cm))])


def points_along(points_cm: Vector) -> Vector:
    """Return points (m, 2) along a line through points (n, 2), its own among them, no more than STEP_CM apart."""
    lengths = np.linalg.norm(np.diff(points_cm, axis=0), axis=1)
    counts = np.maximum(np.ceil(lengths / STEP_CM).astype(int), 1)
    pieces = [
        start + np.linspace(0.0, 1.0, count, endpoint=False)[:, None] * (end - start)
        for start, end, count in zip(points_cm[:-1], points_cm[1:], counts, strict=True)
    ]
    return np.vstack([*pieces, points_cm[-1:]])
