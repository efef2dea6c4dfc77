"""Signed distances of simple solids, and the ways of joining them (cm, negative inside)."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array

Field = Callable[[Array], Array]


def ellipsoid(points: Array, centre: ArrayLike, semi_axes: ArrayLike) -> Array:
    """Return a first-order distance from an ellipsoid: exact at the surface, bounded away from it."""
    scaled = (points - np.asarray(centre, float)) / np.asarray(semi_axes, float)
    length = np.linalg.norm(scaled, axis=1)
    slope = np.linalg.norm(scaled / np.asarray(semi_axes, float), axis=1)
    return np.asarray(length * (length - 1.0) / np.maximum(slope, 1e-9))


def along(points: Array, start: ArrayLike, end: ArrayLike) -> tuple[Array, Array]:
    """Return how far along a segment each point lies (0 to 1) and its distance from that place."""
    start, end = np.asarray(start, float), np.asarray(end, float)
    axis = end - start
    share = np.clip((points - start) @ axis / (axis @ axis), 0.0, 1.0)
    return share, np.linalg.norm(points - start - share[:, None] * axis, axis=1)


def round_cone(points: Array, start: ArrayLike, end: ArrayLike, radii: tuple[float, float]) -> Array:
    """Return the distance from a rod with round ends whose radius goes from one value to another."""
    share, away = along(points, start, end)
    return np.asarray(away - radii[0] - share * (radii[1] - radii[0]))


def union(distances: Sequence[Array], blend: float = 0.0) -> Array:
    """Join solids; ``blend`` is the width of the fillet (cm)."""
    result = distances[0]
    for other in distances[1:]:
        result = _soft_minimum(result, other, blend)
    return result


def cut(distance: Array, tool: Array, blend: float = 0.0) -> Array:
    """Take a tool's solid away from another."""
    return -_soft_minimum(-distance, tool, blend)


def common(distance: Array, other: Array, blend: float = 0.0) -> Array:
    """Keep what two solids share."""
    return -_soft_minimum(-distance, -other, blend)


def step(value: Array, start: float, end: float) -> Array:
    """Return 0 before ``start``, 1 after ``end`` and a smooth rise between; they may be in either order."""
    share = np.clip((value - start) / (end - start), 0.0, 1.0)
    return share * share * (3.0 - 2.0 * share)


def _soft_minimum(first: Array, second: Array, blend: float) -> Array:
    if blend <= 0:
        return np.minimum(first, second)
    overlap = np.maximum(blend - np.abs(first - second), 0.0) / blend
    return np.minimum(first, second) - overlap * overlap * blend / 4.0
