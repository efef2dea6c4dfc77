"""The backdrop sheet by its own formula: a table at z = 0, a quarter circle, a wall."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.arrays import Array
from scenes.stage.backdrop import Sweep

CURVE_STEPS: Final = 24


def depth_behind(sweep: Sweep, points: Array) -> Array:
    """Return how far (n,) points (n, 3) lie behind the sheet, cm, negative before it.

    A table at z = 0, a quarter circle of the radius, a wall up to the height: above that, and beside the sheet, nothing
    is behind it.
    """
    x, y, z = points.T
    start = sweep.wall_cm - sweep.radius_cm
    on_curve = (y > start) & (z < sweep.radius_cm)
    past_curve = np.hypot(y - start, z - sweep.radius_cm) - sweep.radius_cm
    behind = np.where(on_curve, past_curve, np.where(y > start, y - sweep.wall_cm, -np.inf))
    return np.where((z <= sweep.height_cm) & (np.abs(x) <= sweep.width_cm / 2), behind, -np.inf)


def sheet_triangles(sweep: Sweep) -> Array:
    """Return the curve and the wall of the sheet as triangles (n, 3, 3), cm."""
    turn = np.linspace(0, np.pi / 2, CURVE_STEPS)
    r, wall = sweep.radius_cm, sweep.wall_cm
    y, z = np.append(wall - r + r * np.sin(turn), wall), np.append(r - r * np.cos(turn), sweep.height_cm)
    left = np.column_stack([np.full(len(y), -sweep.width_cm / 2), y, z])
    right = left * [-1, 1, 1]
    return np.concatenate(
        [np.stack([left[:-1], right[:-1], right[1:]], 1), np.stack([left[:-1], right[1:], left[1:]], 1)]
    )
