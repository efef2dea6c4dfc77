"""The camera by hand: a level pinhole from where it is, what it aims at, and half its field."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array, Mask
from scenes.stage.viewpoint import Viewpoint

from .rays import are_crossed


def camera_axes(view: Viewpoint) -> tuple[Array, Array, Array]:
    """Return the unit vectors (3,) right, up and forward."""
    forward = np.subtract(view.aim_cm, view.at_cm)
    forward /= np.linalg.norm(forward)
    right = np.cross(forward, [0.0, 0.0, 1.0])
    right /= np.linalg.norm(right)
    return right, np.cross(right, forward), forward


def projected(view: Viewpoint, points: Array) -> tuple[Array, Array, Array]:
    """Return x and y of points (n, 3) in the frame, -1 to 1 inside it, and their depth before the lens in cm."""
    right, up, forward = camera_axes(view)
    away = points - np.asarray(view.at_cm)
    depth = away @ forward
    with np.errstate(divide="ignore", invalid="ignore"):
        x = away @ right / depth / view.tan_half_height / view.aspect
        y = away @ up / depth / view.tan_half_height
    return x, y, depth


def is_in_frame(view: Viewpoint, points: Array, edge: float = 1.0) -> Mask:
    """Return (n,) which points lie before the lens and within the frame."""
    x, y, depth = projected(view, points)
    return np.asarray((depth > 0) & (np.abs(x) < edge) & (np.abs(y) < edge))


def is_met(view: Viewpoint, triangles: Array) -> bool:
    """Return whether a ray through the frame meets triangles (n, 3, 3), of which all corners may lie outside it."""
    right, up, forward = camera_axes(view)
    x, y = (axis.reshape(-1, 1) for axis in np.meshgrid(np.linspace(-1, 1, 7), np.linspace(-1, 1, 7)))
    rays = forward + view.tan_half_height * (x * view.aspect * right + y * up)
    lens = np.asarray(view.at_cm, float)
    return bool(are_crossed(lens[None], lens + 1000 * rays, triangles).any())
