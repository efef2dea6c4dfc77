"""A note where a model seems to lie on its side."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scenes.mesh.triangles import area_normals, bounds

from .axes import axis_along
from .subject import Subject

FLAT_SHARE = 0.2
"""Of the area of a side of the bounding box, from which the model is flat there."""
POINT_SHARE = 0.05
"""Of the floor of the bounding box, under which a model stands on a point."""
TIP_SHARE = 0.2
"""Of an edge of that floor, under which a contact area is short along it."""
NEAR = 0.01


def lying_note(subject: Subject, rotation: NDArray[np.float64]) -> str | None:
    """Return a note where a model stands on a point while another side of it is flat, as a base is; else None.

    A side is flat where faces within 1 % of the extent from the bounding box point out of it over more than a fifth of
    its area. A point is a contact area of less than a twentieth of the floor that is short along the axis of the flat
    side, or along both axes where that side is the top. `rotation` (3, 3) is from the file's axes to the table's.
    """
    low, high = subject.model_bounds_cm
    extent, parts = high - low, subject.model_parts
    feet = bounds(part.vertices_cm[part.vertices_cm[:, 2] <= low[2] + NEAR * extent[2]] for part in parts)
    if np.prod(np.ptp(feet[:, :2], axis=0)) >= POINT_SHARE * extent[0] * extent[1]:
        return None
    corners = np.concatenate([part.vertices_cm[part.faces] for part in parts]).astype(np.float64)
    normals = np.concatenate([area_normals(part.vertices_cm, part.faces) for part in parts])
    candidates = []
    short = np.ptp(feet[:, :2], axis=0) < TIP_SHARE * extent[:2]  # a keel is long along the model
    for axis, sign in ((0, -1), (0, 1), (1, -1), (1, 1), (2, 1)):
        if not short[axis if axis < 2 else slice(None)].all():
            continue
        side = high[axis] if sign > 0 else low[axis]
        near = (np.abs(corners[..., axis] - side) < NEAR * extent[axis]).all(axis=1)
        flat = float(np.maximum(sign * normals[near, axis], 0).sum())
        candidates.append((flat / float(np.prod(np.delete(extent, axis))), axis, sign))
    share, axis, sign = max(candidates, default=(0.0, 0, 1))
    if share < FLAT_SHARE:
        return None
    letter = axis_along(rotation, -sign * np.eye(3)[axis])
    way = "up" if axis == 2 else "along the table"
    return f"it stands on a point, and a flat side of it looks {way}: if that is its base, try --up {letter}"
