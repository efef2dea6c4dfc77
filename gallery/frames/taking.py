"""Frames taken of shots, with progress on stderr."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TypeAlias

from gallery.budget.goal import Goal, goal_of
from gallery.cluster.workers import ThisProcess
from render.allocation.rounds import Rounds
from render.camera.locked_exposure import LockedExposure
from render.frame import Frame
from render.images.image_tracing import TraceStatistics
from render.images.jobs import metered_exposures, take_frames
from render.images.passes.rungs import FIRST_RUNG
from render.images.tracing import Tracing
from render.shot import Shot
from scenes.text import counted

from .exposure_scope import ExposureScope
from .locking import lock_exposures, shares_exposures
from .work import work_on

Lock: TypeAlias = Callable[[list[LockedExposure]], list[LockedExposure]]


def take_with_progress(
    shots: Sequence[Shot], tracing: Tracing, quality: str, lock: Lock | None = None
) -> list[Frame]:  # fmt: skip
    """Return the frames of all shots in their order, of a quality or better; stderr shows progress and the time left.

    `lock` maps the exposure and white balance metered for each shot to those that it is developed with.
    """
    return take_at_goal(shots, tracing, goal_of(quality), partial(_take, shots, tracing, lock))


def take_at_goal(
    shots: Sequence[Shot], tracing: Tracing, goal: Goal, take: Callable[[Callable[[int], None]], list[Frame]]
) -> list[Frame]:
    """Return the frames that `take` returns once the lamp images of shots are at a goal, and not on the way.

    `take` is called with what notes the index of each frame that was taken.
    """
    frames: list[Frame] = []

    def take_last(_: Rounds, frame_step: Callable[[int], None]) -> None:
        frames.extend(take(frame_step))

    work_on(shots, tracing, goal, ThisProcess(tracing), take_last, only_last=True)
    return frames


def take_stored(
    shots: Sequence[Shot], tracing: Tracing, exposure: ExposureScope, frame_step: Callable[[int], None]
) -> list[Frame]:
    """Return the frames of all shots in their order, those of an exposure's scope under one exposure.

    They are taken of the lamp images as they are stored, whatever number of passes they have; of one that is not stored
    a draft is traced. `frame_step` is called with the index of each frame that was taken.
    """
    lock = partial(lock_exposures, exposure, shots) if shares_exposures(exposure, shots) else None
    return _take(shots, tracing, lock, frame_step)


def _take(
    shots: Sequence[Shot], tracing: Tracing, lock: Lock | None, frame_step: Callable[[int], None]
) -> list[Frame]:  # fmt: skip
    """Return the frames of all shots in their order, of the lamp images as they are stored."""
    locked = lock(metered_exposures(shots, tracing, FIRST_RUNG)) if lock else None
    taken = {}
    for i, frame in take_frames(shots, tracing, FIRST_RUNG, locked=locked):
        taken[i] = frame
        frame_step(i)
    return [taken[i] for i in sorted(taken)]


def statistics_line(statistics: TraceStatistics) -> str:
    """Return what was traced and what was found in the store: `traced 18 lamp images on 6 geometries, reused none`."""
    if not statistics.traced:
        return f"traced nothing, reused {counted(len(statistics.reused), 'lamp image')}"
    traced = f"{counted(len(statistics.traced), 'lamp image')} on {counted(len(statistics.geometries), 'geometry')}"
    return f"traced {traced}, reused {len(statistics.reused - statistics.traced) or 'none'}"
