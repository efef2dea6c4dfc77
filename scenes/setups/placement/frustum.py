"""The camera's frame as a cone of sight, and how far a body stands outside it."""

from __future__ import annotations

import numpy as np

from materials.arrays import Vector
from scenes.stage.viewpoint import Viewpoint

from .bodies import Bodies, normalised

FRAME_MARGIN = 1.04
"""Half sizes of the frame that count as in it: a real camera is never aimed exactly."""
ROUNDING = 1e-9


def margin_outside(bodies: Bodies, view: Viewpoint) -> Vector:
    """Return by how much (n,) each body clears the frame, cm; negative where part of it is inside, seen or not.

    Two convex bodies are apart where a plane separates them; candidates are the sides of both and the planes along
    an edge of each: separating axis theorem (Gottschalk, Lin and Manocha, "OBBTree", 1996).
    """
    rays = view.rays(*np.array([[-1, 1, 1, -1], [-1, -1, 1, 1]]) * FRAME_MARGIN)
    sides = normalised(np.cross(rays, np.roll(rays, -1, axis=0)))
    planes = np.vstack([sides, -view.axes[:, 2]])
    away = bodies.at_cm - np.asarray(view.at_cm)
    margin = np.asarray((away @ planes.T - bodies.reach(planes)).max(axis=1))
    inside = margin < 0
    if inside.any():
        margin[inside] = np.maximum(margin[inside], _slanted(bodies[inside], away[inside], rays))
    return margin


def _slanted(bodies: Bodies, away: Vector, rays: Vector) -> Vector:
    """Return the widest gap (n,) along axes that are normal to an edge of the body and one of the frame, cm."""
    if bodies.is_ball:
        axes = away[:, None, :] - (away @ rays.T)[..., None] * rays
        axes = np.concatenate([axes, away[:, None, :]], axis=1)
    else:
        edges = bodies.axes[:, :, :2].transpose(0, 2, 1)
        crossed = np.cross(edges[:, :, None, :], rays).reshape(len(bodies), -1, 3)
        axes = np.concatenate([crossed, bodies.axes[:, None, :, 2]], axis=1)
        axes = np.concatenate([axes, -axes], axis=1)
    axes = normalised(axes)
    separates = (axes @ rays.T <= ROUNDING).all(axis=2) & (np.abs(axes).max(axis=2) > 0)
    gap = np.einsum("nkj,nj->nk", axes, away) - bodies.reach(axes)
    return np.asarray(np.where(separates, gap, -np.inf).max(axis=1))
