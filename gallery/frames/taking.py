"""Frames taken of shots, with progress on stderr."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from render.camera.locked_exposure import LockedExposure
from render.frame import Frame
from render.images.image_tracing import TraceStatistics
from render.images.jobs import PASSES, metered_exposures, passes_to_trace, take_frames
from render.images.tracing import Tracing
from render.shot import Shot
from scenes.text import printable

from .exposure_scope import ExposureScope
from .locking import lock_exposures, shares_exposures


def take_with_progress(
    shots: Sequence[Shot], tracing: Tracing, quality: str,
    lock: Callable[[list[LockedExposure]], list[LockedExposure]] | None = None,
) -> list[Frame]:  # fmt: skip
    """Return the frames of all shots in their order; a terminal's stderr shows progress and the time left.

    `lock` maps the exposure and white balance metered for each shot to those that it is developed with.
    """
    passes = PASSES[quality]
    console = Console(stderr=True)
    columns = (
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn(compact=True),
    )  # fmt: skip
    frames: dict[int, Frame] = {}
    with Progress(*columns, console=console, disable=not console.is_terminal) as progress:
        task = progress.add_task("tracing", total=passes_to_trace(shots, tracing, passes))
        tick = partial(progress.advance, task)
        locked = lock(metered_exposures(shots, tracing, passes, tick)) if lock else None
        for i, frame in take_frames(shots, tracing, passes, tick, locked):
            frames[i] = frame
            progress.update(task, description=f"{escape(printable(frame.setup.name))}, {len(frames)} of {len(shots)}")
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
