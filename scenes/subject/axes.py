"""Rotation from a mesh file's axes to the table's, where z is up and the model faces -y, towards the camera."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError, nearest

AXES = {
    "x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0),
    "-x": (-1.0, 0.0, 0.0), "-y": (0.0, -1.0, 0.0), "-z": (0.0, 0.0, -1.0),
}  # fmt: skip
USUAL_FRONT = {"z": "-y", "-z": "-y", "y": "z", "-y": "z", "x": "-y", "-x": "-y"}


def axis_along(rotation: NDArray[np.float64], direction: NDArray[np.float64]) -> str:
    """Return the axis of a file that lies nearest a direction (3,) of the table; `rotation` is from file to table."""
    in_file = rotation.T @ direction
    axis = int(np.abs(in_file).argmax())
    return f"{'' if in_file[axis] > 0 else '-'}{'xyz'[axis]}"


def upright(up: str, front: str | None = None) -> NDArray[np.float64]:
    """Return the rotation (3, 3) from a file's axes to the table's: ``table = rotation @ file``.

    Without a `front`, a y-up model faces +z, as in glTF, and any other faces -y.

    Raises
    ------
    InputError
        For an unknown axis, or a front along up.
    """
    front = front or USUAL_FRONT.get(up)
    for key, axis in (("up", up), ("front", front)):
        if axis not in AXES:
            raise InputError(f"{key} is '{axis}'{nearest(str(axis), AXES)}")
    high, ahead = np.array(AXES[up]), np.array(AXES[str(front)])
    if abs(high @ ahead) > 0.5:
        raise InputError(f"front = '{front}' lies along up = '{up}': the face looks to one of the other axes")
    return np.array([np.cross(high, ahead), -ahead, high])
