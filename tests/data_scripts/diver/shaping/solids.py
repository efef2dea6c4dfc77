"""Solids that the demo model is built from, beside those of stand-ins: signed distances (cm, negative inside)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array
from scenes.builtin.shapes.solids import round_cone, union


def cylinder(points: Array, start: ArrayLike, end: ArrayLike, radius: float, rounding: float = 0.0) -> Array:
    """Return the distance from a flat-ended cylinder with rounded edges."""
    start, end = np.asarray(start, float), np.asarray(end, float)
    length = float(np.linalg.norm(end - start))
    axis = (end - start) / length
    height = (points - start) @ axis
    radial = np.linalg.norm(points - start - height[:, None] * axis, axis=1) - radius + rounding
    axial = np.abs(height - length / 2) - length / 2 + rounding
    outside = np.hypot(np.maximum(radial, 0), np.maximum(axial, 0))
    return np.asarray(outside + np.minimum(np.maximum(radial, axial), 0) - rounding)


def box(points: Array, centre: ArrayLike, half_sizes: ArrayLike, rounding: float = 0.0) -> Array:
    """Return the distance from a box with rounded edges."""
    over = np.abs(points - np.asarray(centre, float)) - np.asarray(half_sizes, float) + rounding
    outside = np.linalg.norm(np.maximum(over, 0), axis=1)
    return np.asarray(outside + np.minimum(over.max(axis=1), 0) - rounding)


def chain(points: Array, joints: Sequence[ArrayLike], radii: Sequence[float], blend: float) -> Array:
    """Return the distance from a limb: rods from joint to joint, blended where they meet."""
    rods = [round_cone(points, joints[i], joints[i + 1], (radii[i], radii[i + 1])) for i in range(len(joints) - 1)]
    return union(rods, blend)


def bump(offset: Array, half_width: float) -> Array:
    """Return a smooth hump of height 1 that is 0 beyond the half width."""
    share = np.clip(1.0 - (offset / half_width) ** 2, 0.0, 1.0)
    return share * share
