"""Where a mark is named on the mat; where the line to one beyond it ends, and how much farther it is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from materials.arrays import Vector

from .marks.mark import Line, Mark, Stroke, points_along
from .tiling import Tiling

EDGE_CM: Final = 0.3
"""From the tip of an arrow to the edge of the mat, at least."""
TAPE_CM: Final = 0.5
"""Arrows end where the rest of the way is a multiple of this."""


@dataclass(frozen=True, eq=False)
class Arrow:
    """The way to a mark beyond the mat: from its start to a tip (2,), and the rest of the way, cm."""

    line: Line
    rest_cm: float

    @property
    def tip_cm(self) -> Vector:
        """Where it ends, (2,) cm."""
        return np.asarray(self.line.points_cm[-1])


def arrow_to(mark: Mark, tiling: Tiling) -> Arrow | None:
    """Return the arrow to a mark beyond the mat that has a line to it; None where no part of the line is on the mat."""
    way = mark.way
    if way is None or mark.from_cm is None or tiling.has(mark.at_cm):
        return None
    points = points_along(way.points_cm)
    on = tiling.covers(points)
    if not on[0]:
        return None
    last = points[int(on.argmin()) - 1]
    length = float(np.linalg.norm(mark.at_cm - mark.from_cm))
    gone = float(np.linalg.norm(last - mark.from_cm)) - EDGE_CM
    rest_cm = float(np.ceil((length - gone) / TAPE_CM) * TAPE_CM)
    if rest_cm >= length:
        return None
    tip = mark.at_cm - rest_cm * (mark.at_cm - mark.from_cm) / length
    return Arrow(Line(np.array([mark.from_cm, tip]), way.stroke), rest_cm)


def fitted(mark: Mark, tiling: Tiling) -> Mark:
    """Return a mark whose arrows end on the mat, and which is named at the tip where it was so before."""
    lines = tuple(_fitted(line, tiling) if line.stroke is Stroke.arrow else line for line in mark.lines)
    tips = {tuple(old.points_cm[-1]): new.points_cm[-1] for old, new in zip(mark.lines, lines, strict=True)}
    return replace(mark, lines=lines, at_cm=tips.get(tuple(mark.at_cm), mark.at_cm))


def _fitted(line: Line, tiling: Tiling) -> Line:
    """Return an arrow that ends before the first edge of the mat, if it starts on it."""
    points = line.sampled()
    on = tiling.covers(points)
    if on.all() or not on[0]:
        return line
    start = points[0]
    way = points[int(on.argmin()) - 1] - start
    length = float(np.linalg.norm(way))
    return replace(line, points_cm=np.array([start, start + way * max(length - EDGE_CM, 0.0) / length]))


def anchor_of(mark: Mark, tiling: Tiling) -> Vector | None:
    """Return the point (2,) of the table, cm, that a mark is named at; None where nothing of it is on the mat."""
    arrow = arrow_to(mark, tiling)
    if arrow is not None:
        return arrow.tip_cm
    if tiling.has(mark.at_cm):
        return mark.at_cm
    points = mark.drawn_cm()
    points = points[tiling.covers(points)]
    return points[np.hypot(*points.T).argmin()] if len(points) else None
