"""The stage of an arrangement: the camera and the backdrop that go with a subject."""

from __future__ import annotations

from typing import Final

from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import ArrangementError
from scenes.stage.backdrop import Sweep, lay_sweep
from scenes.stage.viewpoint import Viewpoint, look_at
from scenes.subject.subject import Subject

from .place import Stage

CAMERA_GAP_CM: Final = 1.0
"""The least distance in depth between the camera and the subject."""


def stage_of(arrangement: ResolvedArrangement, facing_deg: float, aspect: float | None) -> Stage:
    """Return the stage of an arrangement's subject as it faces a direction, seen in a frame of an aspect ratio.

    Raises
    ------
    ArrangementError
        Where the camera or the wall stands inside the subject, or the backdrop is too short.
    """
    subject = arrangement.turned_model(facing_deg)
    view = look_at(subject, arrangement.declared.camera, aspect)
    _refuse_camera_inside(view, subject)
    sweep = lay_sweep(arrangement.declared.backdrop, subject.size_cm, view)
    _refuse_wall_inside(sweep, subject)
    hero = subject.aim_cm(arrangement.hero)
    return Stage(
        subject=subject,
        view=view,
        sweep=sweep,
        facing_deg=facing_deg,
        hero_cm=(float(hero[0]), float(hero[1]), float(hero[2])),
        kind=arrangement.kind,
    )


def _refuse_camera_inside(view: Viewpoint, subject: Subject) -> None:
    nearest_cm = float(view.project(subject.surface_points(2000))[:, 2].min())
    if nearest_cm < CAMERA_GAP_CM:
        raise ArrangementError(
            f"camera.distance_cm: the camera stands {-view.at_cm[1]:.1f} cm from the centre mark, inside the subject "
            f"or against it; it would have to be {-view.at_cm[1] + CAMERA_GAP_CM - nearest_cm:.0f} cm or more"
        )


def _refuse_wall_inside(sweep: Sweep | None, subject: Subject) -> None:
    back_cm = float(subject.bounds_cm[1][1])
    if sweep is not None and sweep.wall_cm < back_cm:
        raise ArrangementError(
            f"backdrop.distance_cm = {sweep.wall_cm:g}: the wall stands inside the subject, which reaches "
            f"{back_cm:.1f} cm behind the centre mark; move the wall away"
        )
