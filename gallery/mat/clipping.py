"""Lines cut at the edges of a rectangle."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from gallery.paper.box import Box
from materials.arrays import Vector


def clipped(points_cm: Vector, box: Box) -> list[Vector]:
    """Return the pieces (m, 2) of a line through points (n, 2) that lie in a box, by Liang and Barsky's clipping."""
    low, high = np.array([box.left, box.bottom]), np.array([box.right, box.top])
    pieces: list[list[Vector]] = []
    joined = False
    for start, end in pairwise(points_cm):
        enter, leave = _shares_inside(start, end - start, low, high)
        if enter >= leave:
            joined = False
            continue
        if not joined:
            pieces.append([start + enter * (end - start)])
        pieces[-1].append(start + leave * (end - start))
        joined = leave == 1.0
    return [np.array(piece) for piece in pieces]


def _shares_inside(start: Vector, along: Vector, low: Vector, high: Vector) -> tuple[float, float]:
    """Return the shares of a straight line at which it enters and leaves a rectangle; not in order where it misses."""
    enter, leave = 0.0, 1.0
    for origin, way, least, most in zip(start, along, low, high, strict=True):
        if way == 0:
            if not least <= origin <= most:
                return 1.0, 0.0
            continue
        one, other = sorted(((least - origin) / way, (most - origin) / way))
        enter, leave = max(enter, float(one)), min(leave, float(other))
    return enter, leave
