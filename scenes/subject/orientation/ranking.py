"""Orientations of a model in the order of their likelihood: a guess, to be shown and stated, never a fact."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from scenes.subject.axes import USUAL_FRONT, axis_along
from scenes.subject.kind import guessed_kind
from scenes.subject.subject import Subject

from .cues import Cues, Vector, mirror_distances, standing_cues

FLAT_BASE_WEIGHT: Final = 1.4
STABILITY_WEIGHT: Final = 2.1
ASYMMETRY_WEIGHT: Final = 1.8
"""Logits, fitted by maximum likelihood to 49 meshes of known orientation by their shape alone: 37 are then right.

Fitted to the others each time, 36 or 37 of those left out are right. Those of `tests/system/test_orientation_guess.py`
are among them.
"""
STABLE_DEG: Final = 36.0
"""Tipping angle beyond which a model stands no better."""
ASYMMETRIC: Final = 0.03
"""Asymmetry beyond which more of it says no more."""
USUAL_UP: Final = {"y": 2.0, "z": 2.0}
"""Logits of the axes that programs have up, where the format leaves it open; common practice, no source."""
UP_OF_FORMAT: Final = {"glb": {"y": 4.0}, "gltf": {"y": 4.0}, "3mf": {"z": 4.0}, "stl": {"z": 2.5, "y": 2.0}}
"""The same where the format states it (glTF 2.0, 3.4; 3MF Core Specification, 3.3) or is one of printing, as STL."""
CLEAR_LEAD: Final = 0.5
"""Logits by which an orientation leads another so that it is called likelier."""
MIRROR_LEAD: Final = 1.3
"""Ratio of the mirror distances from which one of two axes is the one that runs from left to right."""


class Orientation(NamedTuple):
    """The axes of a file that point up and that the face looks along, and its likelihood as a logit with its cues."""

    up: str
    front: str
    logit: float
    cues: Cues

    @property
    def options(self) -> str:
        """The options that name it on the command line."""
        return f"--up {self.up} --front {self.front}"

    def facing_back(self) -> Orientation:
        """Return the same with its face on the opposite side."""
        return self._replace(front=opposite(self.front))


def opposite(axis: str) -> str:
    """Return the axis that points the other way: "-x" of "x"."""
    return axis.removeprefix("-") if axis.startswith("-") else f"-{axis}"


def current_orientation(model: Subject) -> tuple[str, str] | None:
    """Return the axes of the model's file that point up and that its face looks along; None where it has no file."""
    rotation = model.from_file_axes
    if rotation is None:
        return None
    return axis_along(rotation, np.array([0.0, 0.0, 1.0])), axis_along(rotation, np.array([0.0, -1.0, 0.0]))


def ranked_orientations(model: Subject, file_format: str) -> tuple[Orientation, ...]:
    """Return the six orientations of a model, one for each side up, the likeliest first; none where it has no file.

    The front of each is the axis that its mirror symmetry runs along, or its length does. Which of the two ends it is
    cannot be guessed: the usual one, or that in use.
    """
    rotation, current = model.from_file_axes, current_orientation(model)
    if rotation is None or current is None:
        return ()
    usual, mirrored = UP_OF_FORMAT.get(file_format, USUAL_UP), mirror_distances(model)
    found = []
    for (axis, sign), cues in standing_cues(model).items():
        up = axis_along(rotation, sign * np.eye(3)[axis])
        usual_front = current[1] if up == current[0] else USUAL_FRONT[up]
        along = _front_axis(model, axis, mirrored)
        front = usual_front if along is None else axis_along(rotation, np.eye(3)[along])
        if front == opposite(usual_front):
            front = usual_front
        found.append(Orientation(up, front, usual.get(up, 0.0) + sum(_terms(cues).values()), cues))
    return tuple(sorted(found, key=lambda orientation: -orientation.logit))


def likelier_than(current: tuple[str, str], ranked: tuple[Orientation, ...]) -> Orientation | None:
    """Return the likeliest orientation where it clearly leads the current one; None where that may well be right.

    One that looks to the opposite end is no other: the ends cannot be told apart.
    """
    best = ranked[0]
    now = next(orientation for orientation in ranked if orientation.up == current[0])
    if best.up != now.up:
        return best if best.logit - now.logit > CLEAR_LEAD else None
    return best if best.front not in (current[1], opposite(current[1])) else None


def reason_for(likelier: Orientation, current: tuple[str, str], ranked: tuple[Orientation, ...]) -> str:
    """Return what speaks most for an orientation against the current one, in words."""
    if likelier.up == current[0]:
        return "it is alike left and right then, or long from front to back"
    now = next(orientation for orientation in ranked if orientation.up == current[0])
    ours, theirs = _terms(likelier.cues), _terms(now.cues)
    gains = {words: ours[words] - theirs[words] for words in ours}
    words = max(gains, key=lambda name: gains[name])
    return words if gains[words] > CLEAR_LEAD / 2 else "most such files have it so"


def _terms(cues: Cues) -> dict[str, float]:
    """Return the logits of the cues, by what each says in words."""
    return {
        "a flat base": FLAT_BASE_WEIGHT * cues.flat_base,
        "it stands firmer, its mass low over its base": STABILITY_WEIGHT
        * float(np.clip(cues.tipping_deg / STABLE_DEG, 0, 1)),
        "it is alike left and right then, not top and bottom": ASYMMETRY_WEIGHT * min(cues.asymmetry / ASYMMETRIC, 1.0),
    }


def _front_axis(model: Subject, up_axis: int, mirrored: Vector) -> int | None:
    """Return the axis of the table that the face looks along with another up: across that of the mirror symmetry.

    Where both or none are alike, it is that of the length of a long model; None where nothing tells.
    """
    one, other = (axis for axis in range(3) if axis != up_axis)
    for side, ahead in ((one, other), (other, one)):
        if mirrored[side] * MIRROR_LEAD < mirrored[ahead]:
            return ahead
    width, length, height = np.ptp(model.model_bounds_cm, axis=0)[[one, other, up_axis]]
    if guessed_kind((width, length, height)) != "vehicle":
        return None
    return other if length > width else one
