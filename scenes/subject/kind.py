"""Kinds of subject: which way each stands before the camera, and from where a setup's lamps count."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal, TypeAlias

SubjectKind: TypeAlias = Literal["figure", "bust", "vehicle", "aircraft", "ship", "object"]

UPRIGHT: Final = 0.6
"""Height over size, the largest dimension, from which a subject stands upright."""
LONG: Final = 1.5
"""Length over width from which a subject that does not stand upright is long."""
USUAL_FACES_DEG: Final[dict[SubjectKind, float]] = {"vehicle": 40.0, "aircraft": 35.0, "ship": 60.0}
"""How far long kinds turn from the camera, so that flank and front are both seen; others face it.

Common practice, no source.
"""


def guessed_kind(dimensions_cm: Sequence[float]) -> SubjectKind:
    """Return the kind that width, length and height suggest; a bust, an aircraft and a ship have to be named."""
    width, length, height = dimensions_cm
    if height >= UPRIGHT * max(dimensions_cm):
        return "figure"
    return "vehicle" if max(width, length) >= LONG * min(width, length) else "object"


def usual_faces_deg(kind: SubjectKind) -> float:
    """Return which way a kind faces unless its arrangement says: 0 the camera, positive to camera right."""
    return USUAL_FACES_DEG.get(kind, 0.0)


def has_face(kind: SubjectKind) -> bool:
    """Return whether a kind has a face: setups turn it, and their lamps count from it; else from the camera."""
    return kind in {"figure", "bust"}
