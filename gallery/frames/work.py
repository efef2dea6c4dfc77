"""The work on the lamp images of frames: rounds until a goal, while stderr shows how far."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TypeAlias

from gallery.budget.costs import frame_costs
from gallery.budget.display import shown
from gallery.budget.goal import Goal
from gallery.budget.loop import run_rounds
from gallery.budget.rounds_progress import RoundsProgress
from gallery.cluster.workers import Workers
from render.allocation.rounds import Rounds
from render.images.jobs import prepare
from render.images.passes.rungs import FIRST_RUNG
from render.images.tracing import Tracing
from render.shot import Shot

from .shots import frame_title

Remake: TypeAlias = Callable[[Rounds, Callable[[int], None]], None]
"""Takes the frames of the rounds that are complete; called with what notes the index of each frame that was taken."""


def work_on(
    shots: Sequence[Shot], tracing: Tracing, goal: Goal, workers: Workers, remake: Remake, *, only_last: bool = False
) -> str:
    """Work on the lamp images of shots until a goal; return why that was the end, as half a sentence.

    `remake` is called now and then, and at the end; with `only_last` at the end alone.

    Raises
    ------
    NoDenoiserError
        If the denoiser does not load and is needed; nothing is traced then.
    """
    prepare(shots, tracing, FIRST_RUNG)
    rounds = Rounds(shots, tracing)
    progress = RoundsProgress(goal, [frame_title(shot.setup.name, shot.finish) for shot in shots], frame_costs(shots))
    frames = partial(remake, rounds, progress.frame_step)
    with shown(progress.status):
        return run_rounds(rounds, workers, goal, frames, progress, only_last=only_last)
