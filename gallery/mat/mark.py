"""A mark on the table: a spot, lines and words, seen from above, in cm."""

from __future__ import annotations

from dataclasses import dataclass
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
        What is of use only as a whole.
    guides
        What is drawn as far as the mat goes.
    from_cm : (2,), optional
        Where the line starts along which it is measured; None of what is not measured so.
    is_worth_pages
        Whether pages are printed for its spot and its lines.
    """

    name: str
    words: tuple[str, ...]
    at_cm: Vector
    lines: tuple[Line, ...] = ()
    guides: tuple[Line, ...] = ()
    from_cm: Vector | None = None
    has_cross: bool = True
    is_worth_pages: bool = True

    @property
    def way(self) -> Line | None:
        """The line along which it is measured."""
        return None if self.from_cm is None else Line(np.array([self.from_cm, self.at_cm]), Stroke.along)

    def required_cm(self) -> Vector:
        """Return points (n, 2) for which pages are printed: spot and lines, and the way to each from the centre."""
        if not self.is_worth_pages:
            return np.zeros((0, 2))
        ways = [[(0.0, 0.0), line.points_cm[0]] for line in self.lines]
        starts = (0.0, 0.0) if self.from_cm is None else self.from_cm
        ways += [[(0.0, 0.0), starts], [starts, self.at_cm]]
        spot = self.at_cm + (SPOT_CM * CORNERS if self.has_cross else 0 * CORNERS)
        return np.vstack(
            [spot, *(points_along(np.array(way)) for way in ways), *(line.sampled() for line in self.lines)]
        )


def points_along(points_cm: Vector) -> Vector:
    """Return points (m, 2) along a line through points (n, 2), its own among them, no more than STEP_CM apart."""
    lengths = np.linalg.norm(np.diff(points_cm, axis=0), axis=1)
    counts = np.maximum(np.ceil(lengths / STEP_CM).astype(int), 1)
    pieces = [
        start + np.linspace(0.0, 1.0, count, endpoint=False)[:, None] * (end - start)
        for start, end, count in zip(points_cm[:-1], points_cm[1:], counts, strict=True)
    ]
    return np.vstack([*pieces, points_cm[-1:]])
