"""Whether a subject encloses a point: every upward ray from it hits the subject, and below it is the table.

The mesh need not be closed: a scan without an underside encloses what is in it, a corner between two walls does not.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Vector
from scenes.geometry import axes_facing

from .subject import Part, Subject

RAYS: Final = 48
"""Over the upper hemisphere: an opening of more than a forty-eighth of it counts as open."""

ROUNDING: Final = 1e-9
"""Of a distance: a box that a line misses by less counts as met."""


def is_enclosed(point_cm: ArrayLike, subject: Subject) -> bool:
    """Return whether a subject blocks every ray upwards from a point (3,), cm."""
    point = np.asarray(point_cm, dtype=np.float64)
    low, high = subject.bounds_cm
    if not ((low < point) & (point < high)).all():
        return False
    return all(any(is_hit(part, point, ray) for part in parts_about(subject, point, ray)) for ray in upward_rays())


def upward_rays() -> Vector:
    """Return unit vectors (RAYS, 3) spread evenly over the upper hemisphere, the steepest first.

    A spiral by the golden angle in steps of equal height, which have equal area: Swinbank and Purser, "Fibonacci grids:
    a novel approach to global modelling", 2006.
    """
    step = np.arange(RAYS)
    height = 1 - (step + 0.5) / RAYS
    turn = step * np.pi * (3 - np.sqrt(5))
    across = np.sqrt(1 - height**2)
    return np.column_stack([across * np.cos(turn), across * np.sin(turn), height])


def parts_about(subject: Subject, point_cm: Vector, ray: Vector) -> list[Part]:
    """Return the parts whose boxes are met by the line along a unit `ray` (3,) through a point (3,), cm.

    A line misses a box where it does along one of the cross products of its direction with the box's edges (separating
    axes: Gottschalk, Lin and Manocha, "OBBTree", 1996).
    """
    low, high = subject.part_bounds_cm.transpose(1, 0, 2)
    half, along = (high - low) / 2, np.abs(ray)
    away = (low + high) / 2 - point_cm
    beside = np.abs(np.cross(away, ray))
    reach = half[:, [1, 2, 0]] * along[[2, 0, 1]] + half[:, [2, 0, 1]] * along[[1, 2, 0]]
    rounding = ROUNDING * np.abs(away).max(axis=1, keepdims=True)
    return [subject.parts[i] for i in np.flatnonzero((beside <= reach + rounding).all(axis=1))]


def is_hit(part: Part, point_cm: Vector, ray: Vector) -> bool:
    """Return whether the ray (3,) from a point (3,), cm, hits a part's triangles."""
    return bool((hit_distances_cm(part, point_cm, ray) > 0).any())


def hit_distances_cm(part: Part, point_cm: Vector, ray: Vector) -> Vector:
    """Return where the line along a unit `ray` (3,) through a point (3,) crosses a part's triangles, (n,), cm.

    Distances behind the point are negative. Projected along the ray, a triangle contains the origin where all its edge
    functions have one sign. The two triangles of an edge compute the same value with opposite signs, so no ray passes
    between them. Triangles seen edge on are not crossed.
    """
    seen = (part.vertices_cm - np.asarray(point_cm, dtype=np.float64)) @ axes_facing(ray)
    x, y = seen[:, 0], seen[:, 1]
    sides = (x < 0) | (x > 0) << 1 | (y < 0) << 2 | (y > 0) << 3  # a bit each
    a, b, c = sides.astype(np.uint8)[part.faces.T]
    about = part.faces[(a & b & c) == 0]  # the triangles that do not lie wholly on one side of the line
    corners = seen[about]
    following = np.roll(corners, -1, axis=1)
    edges = corners[..., 0] * following[..., 1] - corners[..., 1] * following[..., 0]
    area = edges.sum(axis=1)
    contains_ray = ((edges >= 0).all(axis=1) | (edges <= 0).all(axis=1)) & (area != 0)
    depth = (np.roll(edges, -1, axis=1) * corners[..., 2]).sum(axis=1)  # of the hit point, times the area
    return np.asarray(depth[contains_ray] / area[contains_ray])
