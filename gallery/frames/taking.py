"""Frames taken of shots, with progress on stderr."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TypeAlias

from gallery.budget.display import shown
from gallery.budget.shots_progress import ShotsProgress
from render.camera.locked_exposure import LockedExposure
from render.frame import Frame
from render.images.image_tracing import TraceStatistics
from render.images.jobs import PASSES, metered_exposures, passes_to_trace, take_frames
from render.images.rungs import FIRST_RUNG
from render.images.tracing import Tracing
from render.shot import Shot

from .exposure_scope import ExposureScope
from .locking import lock_exposures, shares_exposures

Lock: TypeAlias = Callable[[list[LockedExposure]], list[LockedExposure]]


def take_with_progress(
    shots: Sequence[Shot], tracing: Tracing, quality: str, lock: Lock | None = None
) -> list[Frame]:  # fmt: skip
    """Return the frames of all shots in their order; stderr shows progress and the time left.

    `lock` maps the exposure and white balance metered for each shot to those that it is developed with.
    """
    passes = PASSES[quality]
    progress = ShotsProgress(shots, passes_to_trace(shots, tracing, passes))
    with shown(progress.status):
        locked = lock(metered_exposures(shots, tracing, passes, progress.trace_step)) if lock else None
        return _in_order(take_frames(shots, tracing, passes, progress.trace_step, locked), progress.frame_step)


def take_stored(
    shots: Sequence[Shot], tracing: Tracing, exposure: ExposureScope, frame_step: Callable[[int], None]
) -> list[Frame]:
    """Return the frames of all shots in their order, those of an exposure's scope under one exposure.

    They are taken of the lamp images as they are stored, whatever number of passes they have; of one that is not stored
    a draft is traced. `frame_step` is called with the index of each frame that was taken.
    """
    locked = None
    if shares_exposures(exposure, shots):
        locked = lock_exposures(exposure, shots, metered_exposures(shots, tracing, FIRST_RUNG))
    return _in_order(take_frames(shots, tracing, FIRST_RUNG, locked=locked), frame_step)


def _in_order(frames: Iterator[tuple[int, Frame]], frame_step: Callable[[int], None]) -> list[Frame]:
    """Return frames in the order of their indices."""
    taken = {}
    for i, frame in frames:
        taken[i] = frame
        frame_step(i)
    return [taken[i] for i in sorted(taken)]


def statistics_line(statistics: TraceStatistics) -> str:
    """Return what was traced and what was found in the store: `traced 18 lamp images on 6 geometries, reused none`."""
    if not statistics.traced:
        return f"traced nothing, reused {_count(len(statistics.reused), 'lamp image')}"
    traced = f"{_count(len(statistics.traced), 'lamp image')} on {_count(len(statistics.geometries), 'geometry')}"
    return f"traced {traced}, reused {len(statistics.reused - statistics.traced) or 'none'}"


def _count(number: int, noun: str) -> str:
    plural = noun.removesuffix("y") + "ies" if noun.endswith("y") else noun + "s"
    return f"{number} {noun if number == 1 else plural}"
