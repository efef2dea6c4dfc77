"""Frames taken of shots, with progress on stderr."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from gallery.budget.display import shown
from gallery.budget.shots_progress import ShotsProgress
from render.camera.locked_exposure import LockedExposure
from render.frame import Frame
from render.images.image_tracing import TraceStatistics
from render.images.jobs import PASSES, metered_exposures, passes_to_trace, take_frames
from render.images.tracing import Tracing
from render.shot import Shot

from .exposure_scope import ExposureScope
from .locking import lock_exposures, shares_exposures


def take_with_progress(
    shots: Sequence[Shot], tracing: Tracing, quality: str,
    lock: Callable[[list[LockedExposure]], list[LockedExposure]] | None = None,
) -> list[Frame]:  # fmt: skip
    """Return the frames of all shots in their order; stderr shows progress and the time left.

    `lock` maps the exposure and white balance metered for each shot to those that it is developed with.
    """
    passes = PASSES[quality]
    progress = ShotsProgress(shots, passes_to_trace(shots, tracing, passes))
    frames: dict[int, Frame] = {}
    with shown(progress.status):
        locked = lock(metered_exposures(shots, tracing, passes, progress.trace_step)) if lock else None
        for i, frame in take_frames(shots, tracing, passes, progress.trace_step, locked):
            frames[i] = frame
            progress.frame_step(i)
    return [frames[i] for i in range(len(shots))]


def take_locked(shots: Sequence[Shot], tracing: Tracing, quality: str, exposure: ExposureScope) -> list[Frame]:
    """Return the frames of all shots in their order, those of an exposure's scope under one exposure."""
    lock = partial(lock_exposures, exposure, shots) if shares_exposures(exposure, shots) else None
    return take_with_progress(shots, tracing, quality, lock)


def statistics_line(statistics: TraceStatistics) -> str:
    """Return what was traced and what was found in the store: `traced 18 lamp images on 6 geometries, reused none`."""
    if not statistics.traced:
        return f"traced nothing, reused {_count(len(statistics.reused), 'lamp image')}"
    traced = f"{_count(len(statistics.traced), 'lamp image')} on {_count(len(statistics.geometries), 'geometry')}"
    return f"traced {traced}, reused {len(statistics.reused - statistics.traced) or 'none'}"


def _count(number: int, noun: str) -> str:
    plural = noun.removesuffix("y") + "ies" if noun.endswith("y") else noun + "s"
    return f"{number} {noun if number == 1 else plural}"
