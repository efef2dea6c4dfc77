"""Where in the frame a part of the subject is seen."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Camera
from scenes.subject.subject import Subject
from scenes.units import metres

POINTS_PER_PIXEL = 4
WITHIN = 0.005  # of the distance: what stands nearer hides the part, what lies behind is another


def parts_in_sight(subject: Subject, camera: Camera, depth: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Return the pixels (height, width) where a subject, such as some parts of a whole, is seen.

    Points spread over it are looked for at the `depth` of what the camera sees, m; small gaps between are closed.
    """
    from scipy.ndimage import binary_closing

    few = _pixels(subject.surface_points(500), camera)
    spread = np.ptp(few, axis=0) + 1
    count = int(POINTS_PER_PIXEL * min(spread[0] * spread[1], camera.width * camera.height)) + 500
    points = subject.surface_points(count)
    column, row = _pixels(points, camera).T
    inside = (column >= 0) & (column < camera.width) & (row >= 0) & (row < camera.height)
    column, row, points = column[inside], row[inside], points[inside]
    distance = np.linalg.norm(metres(points) - camera.at, axis=1)
    seen = np.abs(distance - depth[row, column]) < WITHIN * distance
    found = np.zeros(depth.shape, bool)
    found[row[seen], column[seen]] = True
    return np.asarray(binary_closing(found, np.ones((3, 3))) | found)


def _pixels(points_cm: NDArray[np.float64], camera: Camera) -> NDArray[np.int64]:
    """Return column and row (n, 2) of points before the camera."""
    right, up, ahead = ((metres(points_cm) - camera.at) @ camera.axes).T
    scale = camera.height / 2 / (camera.tan_half_height * np.maximum(ahead, 1e-6))
    seen = np.column_stack([camera.width / 2 + right * scale, camera.height / 2 - up * scale])
    return np.asarray(np.floor(np.clip(seen, -1e6, 1e6)).astype(np.int64))
