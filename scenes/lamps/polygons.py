"""Polygons as a receiver sees them: cut at its horizon, and Lambert's formula for the light of one."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.arrays import Vector

CORNERS: Final = 720
"""Of the polygon in place of a circle: its error is 1e-9, or 2e-6 a hundredth of the radius off the circle's edge."""
RECTANGLE: Final = np.array([[-1.0, -1.0, 0.0], [1.0, -1.0, 0.0], [1.0, 1.0, 0.0], [-1.0, 1.0, 0.0]])


def unit_circle() -> Vector:
    """Return the corners (n, 3) of the regular polygon about +z with the area of the unit circle."""
    turn = np.linspace(0.0, 2 * np.pi, CORNERS, endpoint=False)
    radius = np.sqrt(2 * np.pi / (CORNERS * np.sin(2 * np.pi / CORNERS)))
    return np.column_stack([radius * np.cos(turn), radius * np.sin(turn), np.zeros(CORNERS)])


def perpendicular(axis: Vector) -> Vector:
    """Return a unit vector perpendicular to each of unit vectors (n, 3)."""
    across = np.cross(axis, np.eye(3)[np.argmin(np.abs(axis), axis=1)])
    return np.asarray(across / np.linalg.norm(across, axis=1, keepdims=True))


def above_horizon(polygon: Vector, facing: Vector) -> Vector:
    """Return the parts (n, 2 m, 3) of convex polygons (n, m, 3) above the horizons of receivers at the origin.

    Sutherland and Hodgman (Communications of the ACM 17, 1974) for one plane; corners repeat to keep the shape. One
    wholly below comes back as a single point.
    """
    height = np.einsum("nmk,nk->nm", polygon, facing)
    after, height_after = np.roll(polygon, -1, axis=1), np.roll(height, -1, axis=1)
    inside, inside_after = height > 0.0, height_after > 0.0
    crosses = inside != inside_after
    share = height / np.where(crosses, height - height_after, 1.0)
    crossing = polygon + share[..., None] * (after - polygon)
    leaving = (inside & ~inside_after)[..., None]
    leaves_at = np.where(leaving, crossing, 0.0).sum(axis=1, keepdims=True)
    entering = (~inside & inside_after)[..., None]
    first = np.where(inside[..., None], polygon, np.where(entering, crossing, leaves_at))
    second = np.where(leaving, crossing, first)
    return np.stack([first, second], axis=2).reshape(len(polygon), -1, 3)


def polygon_factor(polygon: Vector, facing: Vector) -> Vector:
    """Return Lambert's sum (n,) over the edges of polygons (n, m, 3) that are wholly above the horizon."""
    after = np.roll(polygon, -1, axis=1)
    across = np.cross(polygon, after - polygon)
    length = np.linalg.norm(across, axis=2)
    angle = np.arctan2(length, np.einsum("nmk,nmk->nm", polygon, after))
    weight = angle / np.where(length > 0.0, length, np.inf)
    return np.asarray(0.5 * np.abs(np.einsum("nm,nmk,nk->n", weight, across, facing)))
