"""The two ends of a long model, one of which is its nose: which one cannot be guessed."""

from __future__ import annotations

import numpy as np

from .axes import axis_along
from .kind import SubjectKind, usual_faces_deg
from .subject import Subject


def possible_fronts(model: Subject, kind: SubjectKind) -> tuple[str, str] | None:
    """Return the axes of the model's file that its nose may look along, the one in use first where it is of them.

    They lie along the longer side of a vehicle or a ship. An aircraft may be wider than long: its nose is taken to
    look along the front in use or away from it. None of a kind without a nose, and of a built-in model.
    """
    if not usual_faces_deg(kind) or model.from_file_axes is None:
        return None
    ends = np.eye(3)[0] if kind != "aircraft" and lies_across(model) else -np.eye(3)[1]
    return axis_along(model.from_file_axes, ends), axis_along(model.from_file_axes, -ends)


def lies_across(model: Subject) -> bool:
    """Return whether the model, its front to the camera, is wider than long."""
    width, length, _ = np.ptp(model.model_bounds_cm, axis=0)
    return bool(width > length)
