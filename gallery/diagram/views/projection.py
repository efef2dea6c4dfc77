"""Parallel projections of the table: from above, from camera right, from camera left; with a stretch left out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Vector

Side: TypeAlias = Literal["above", "camera right", "camera left"]


@dataclass(frozen=True)
class Gap:
    """A stretch of the y axis that is left out of the drawing, cm: nothing stands in it."""

    start_cm: float
    end_cm: float

    @property
    def length_cm(self) -> float:
        """Its length, cm."""
        return self.end_cm - self.start_cm


@dataclass(frozen=True)
class Projection:
    """A view from one side, in cm of the table: across and up.

    From above the camera is at the bottom, and right is camera right. From camera right it is on the left, from camera
    left on the right.
    """

    side: Side
    gap: Gap | None = None

    @property
    def sight(self) -> Vector:
        """Unit vector (3,) towards whom looks."""
        return {
            "above": np.array([0.0, 0.0, 1.0]),
            "camera right": np.array([1.0, 0.0, 0.0]),
            "camera left": np.array([-1.0, 0.0, 0.0]),
        }[self.side]

    def flat(self, points_cm: ArrayLike) -> Vector:
        """Return points (n, 3) as they lie in the drawing, (n, 2) cm; those in the gap at its farther end."""
        x, y, z = np.atleast_2d(np.asarray(points_cm, dtype=float)).T
        along = (
            y
            if self.gap is None
            else np.where(y <= self.gap.start_cm, y + self.gap.length_cm, np.maximum(y, self.gap.end_cm))
        )
        if self.side == "above":
            return np.column_stack([x, along])
        return np.column_stack([along if self.side == "camera right" else -along, z])

    def pieces(self, start_cm: ArrayLike, end_cm: ArrayLike) -> list[Vector]:
        """Return the parts of a straight line that are drawn, each (2, 2) cm: two where it crosses the gap."""
        start, end = np.asarray(start_cm, dtype=float), np.asarray(end_cm, dtype=float)
        if self.gap is None:
            return [self.flat([start, end])]
        near, far = (start, end) if start[1] <= end[1] else (end, start)
        below, above = self.gap.start_cm, self.gap.end_cm
        if far[1] <= below or near[1] >= above:
            return [self.flat([start, end])]

        def at(y: float) -> Vector:
            return np.asarray(near + (far - near) * (y - near[1]) / (far[1] - near[1]))

        before = [self.flat([near, at(below)])] if near[1] < below else []
        return before + ([self.flat([at(above), far])] if far[1] > above else [])
