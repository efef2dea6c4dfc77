"""The stage of an arrangement: the camera and the backdrop that go with a subject."""

from __future__ import annotations

from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import ArrangementError
from scenes.lengths import distance_words_up
from scenes.stage.backdrop import Sweep, lay_sweep
from scenes.stage.viewpoint import look_at
from scenes.subject.subject import Subject

from .facing import built_in_facings_deg
from .place import Stage


def stage_of(arrangement: ResolvedArrangement, facing_deg: float, aspect: float | None) -> Stage:
    """Return the stage of an arrangement's subject as it faces a direction, seen in a frame of an aspect ratio.

    All setups have one frame and one scale, whichever are asked for: that of `fitted_facings_deg`.

    Raises
    ------
    ArrangementError
        Where the camera or the wall stands inside the subject, or the backdrop is too short.
    """
    subject = arrangement.turned_model(facing_deg)
    kind, declared = arrangement.kind, arrangement.declared
    facings = fitted_facings_deg(arrangement, facing_deg)
    view = look_at(arrangement.turned_model(0.0), declared.camera, aspect, kind=kind, facings_deg=facings)
    sweep = lay_sweep(declared.backdrop, subject.size_cm, view)
    _refuse_wall_inside(sweep, subject)
    hero = subject.aim_cm(arrangement.hero)
    return Stage(
        subject=subject,
        view=view,
        sweep=sweep,
        facing_deg=facing_deg,
        hero_cm=(float(hero[0]), float(hero[1]), float(hero[2])),
        kind=kind,
        clear_parts=tuple(part.name for part in subject.parts if arrangement.finishes.rule_of(part).declared.clear),
    )


def fitted_facings_deg(arrangement: ResolvedArrangement, facing_deg: float) -> tuple[float, ...]:
    """Return the directions of the subject that camera and backdrop fit, ascending.

    Those that the camera declares, else every one that the built-in setups turn the subject to; and `facing_deg`.
    """
    declared = arrangement.declared.camera.facings_deg
    fitted = built_in_facings_deg(arrangement.kind, arrangement.faces_deg) if declared is None else declared
    return tuple(sorted({*fitted, facing_deg}))


def _refuse_wall_inside(sweep: Sweep | None, subject: Subject) -> None:
    back_cm = float(subject.bounds_cm[1][1])
    if sweep is not None and sweep.wall_cm < back_cm:
        raise ArrangementError(
            f"backdrop.distance_cm = {sweep.wall_cm:g}: the wall stands inside the subject, which reaches "
            f"{distance_words_up(back_cm)} behind the centre mark; move the wall away"
        )
