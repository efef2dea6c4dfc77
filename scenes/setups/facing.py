"""Setups as they apply to a kind of subject that faces one way: mirrored, and turning it or not."""

from __future__ import annotations

from functools import cache, partial

from scenes.subject.kind import SubjectKind, has_face

from .setup import Placement, Setup, load_setup, setup_names


def applied_setup(setup: Setup, kind: SubjectKind, faces_deg: float) -> Setup:
    """Return a setup as it applies to a subject of a kind that faces `faces_deg`.

    A subject with a face that looks to camera left is turned farther to that side, not back across the camera: a setup
    that turns it is mirrored. Any other subject stays as it stands: what the setup would turn it by is added to
    `round_deg` of the lamps and cards that do not count from the camera, and the setup is mirrored where its nose
    points to camera left.
    """
    if has_face(kind):
        return setup.mirrored() if setup.turn_deg and faces_deg < 0 else setup
    turn = partial(_turned, turn_deg=setup.turn_deg)
    unturned = setup.with_placements(turn).model_copy(update={"turn_deg": 0.0})
    return unturned.mirrored() if faces_deg < 0 else unturned


def facing_deg(applied: Setup, faces_deg: float) -> float:
    """Return the direction that a subject faces in an applied setup: 0 the camera, positive to camera right."""
    return applied.turn_deg or faces_deg


@cache
def built_in_facings_deg(kind: SubjectKind, faces_deg: float) -> tuple[float, ...]:
    """Return every direction that a subject faces in the setups that come with spruelight, ascending."""
    applied = (applied_setup(load_setup(name), kind, faces_deg) for name in setup_names())
    return tuple(sorted({faces_deg, *(facing_deg(setup, faces_deg) for setup in applied)}))


def _turned(placement: Placement, turn_deg: float) -> Placement:
    if placement.from_camera:
        return placement
    return placement.model_copy(update={"round_deg": (placement.round_deg + turn_deg + 180.0) % 360.0 - 180.0})
