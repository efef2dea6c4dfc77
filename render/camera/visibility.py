"""Visibility of parts of the subject: the pixels that show them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Mask
from render.description.scene import Camera
from scenes.subject.subject import Subject
from scenes.units import metres

from .window import window_about

POINTS_PER_PIXEL = 4
DEPTH_TOLERANCE = 0.005  # of the distance; a point farther than this behind the depth is occluded


def visible_mask(subject: Subject, camera: Camera, *depths: NDArray[np.float32]) -> Mask:
    """Return the pixels (height, width) where a subject, or some parts of one, is visible.

    Points sampled on its surface are compared with each of `depths` (height, width), distances in m of what the camera
    sees: it is visible where any of them shows it. Gaps between points are closed.
    """
    outline = _pixels(subject.surface_points(500), camera)
    extent = np.ptp(outline, axis=0) + 1
    count = int(POINTS_PER_PIXEL * min(extent[0] * extent[1], camera.width * camera.height)) + 500
    points = subject.surface_points(count)
    column, row = _pixels(points, camera).T
    inside = (column >= 0) & (column < camera.width) & (row >= 0) & (row < camera.height)
    column, row, points = column[inside], row[inside], points[inside]
    distance = np.linalg.norm(metres(points) - camera.at, axis=1)
    mask = np.zeros((camera.height, camera.width), bool)
    for depth in depths:
        visible = np.abs(distance - depth[row, column]) < DEPTH_TOLERANCE * distance
        mask |= closed_mask(row[visible], column[visible], mask.shape)
    return mask


def closed_mask(row: NDArray[np.int64], column: NDArray[np.int64], shape: tuple[int, ...]) -> Mask:
    """Return a mask of pixels, the gaps between them closed."""
    from scipy.ndimage import binary_closing

    mask = np.zeros(shape, bool)
    mask[row, column] = True
    window = window_about(mask, 2)  # as far as closing looks
    mask[window] |= binary_closing(mask[window], np.ones((3, 3)))
    return mask


def _pixels(points_cm: NDArray[np.float64], camera: Camera) -> NDArray[np.int64]:
    """Return column and row (n, 2) of points in front of the camera."""
    right, up, forward = ((metres(points_cm) - camera.at) @ camera.axes).T
    scale = camera.height / 2 / (camera.tan_half_height * np.maximum(forward, 1e-6))
    projected = np.column_stack([camera.width / 2 + right * scale, camera.height / 2 - up * scale])
    return np.asarray(np.floor(np.clip(projected, -1e6, 1e6)).astype(np.int64))
