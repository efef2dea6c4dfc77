"""What a run has done, told at its end: what was rendered, the grain reached, what failed, when it ended and why."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from scenes.setups.place_setup import LeftOut
from scenes.text import counted

from .duration import duration_words
from .goal import Goal, quality_of
from .grain import grain_percent

FORMAT: Final = 1
COARSEST: Final = 3
"""Frames whose grain is told one by one."""
NOT_MEASURED: Final = "grain left: not measured yet, the sheet is a draft"


@dataclass(frozen=True)
class Run:
    """What a run has done.

    Parameters
    ----------
    goal
        That it worked towards.
    rounds
        That are in the sheet on disk.
    grains
        Of its frames by name, .01 is 1 %; None where it was not measured, as of a draft.
    images, geometries
        How many lamp images its frames are made of, on how many geometries.
    passes
        Of these images, the least and the most.
    failed
        Setups that there is no frame of.
    seconds
        How long it took.
    ended
        Why it ended, as half a sentence; None of a run that has not.
    """

    goal: Goal
    rounds: int
    grains: Sequence[tuple[str, float | None]]
    images: int
    geometries: int
    passes: tuple[int, int]
    failed: Sequence[LeftOut]
    ended_at: datetime
    seconds: float
    ended: str | None

    @property
    def coarsest_first(self) -> list[tuple[str, float | None]]:
        """The grains, those not measured first."""
        return _coarsest_first(self.grains)

    @property
    def quality(self) -> str:
        """The finest quality that all its frames have."""
        return quality_of([grain for _, grain in self.grains])

    @property
    def verdict(self) -> str:
        """How good its frames are, by the goal or by a quality."""
        return self.goal.verdict([grain for _, grain in self.grains])


def run_facts(run: Run) -> dict[str, Any]:
    """Return a run as plain data, for JSON: the grain of each frame, coarsest first."""
    return {
        "format": FORMAT,
        "rounds": run.rounds,
        "quality": run.quality,
        "frames": [
            {"name": name, "grain_percent": None if grain is None else grain_percent(grain)}
            for name, grain in run.coarsest_first
        ],
        "lamp_images": run.images,
        "geometries": run.geometries,
        "passes": {"least": run.passes[0], "most": run.passes[1]},
        "failed": [{"setup": failed.setup, "why": failed.why} for failed in run.failed],
        "ended_at": run.ended_at.isoformat(timespec="seconds"),
        "seconds": round(run.seconds, 1),
        "ended": run.ended,
    }


def summary_lines(run: Run) -> list[str]:
    """Return a run in a few lines for a person."""
    rounds = counted(run.rounds, "round")
    least, most = run.passes
    passes = f"{least}" if least == most else f"{least} to {most}"
    made = f"{counted(len(run.grains), 'frame')} of {counted(run.images, 'lamp image')}, {passes} passes each"
    return [
        f"ended at {run.ended_at:%H:%M} after {duration_words(run.seconds)}: {run.ended}",
        f"{made}, {rounds}",
        *([f"{line}; {run.verdict}" for line in grain_lines(run.grains)] or [NOT_MEASURED]),
        *(failed.sentence for failed in run.failed),
    ]


def grain_lines(grains: Sequence[tuple[str, float | None]]) -> list[str]:
    """Return the grain of the coarsest frames one by one, and the range of the others'; nothing where none is known."""
    measured = [(name, grain_percent(grain)) for name, grain in _coarsest_first(grains) if grain is not None]
    if not measured:
        return []
    one_by_one = len(measured) if len(measured) <= COARSEST + 1 else COARSEST
    words = [f"{name} {percent:g} %" for name, percent in measured[:one_by_one]]
    if others := measured[one_by_one:]:
        words.append(f"the other {len(others)} {others[-1][1]:g} to {others[0][1]:g} %")
    return [f"grain left: {', '.join(words)}"]


def _coarsest_first(grains: Sequence[tuple[str, float | None]]) -> list[tuple[str, float | None]]:
    return sorted(grains, key=lambda named: math.inf if named[1] is None else named[1], reverse=True)
