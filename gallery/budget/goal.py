"""When a sheet is good enough, or time is over: the options on quality, grain and time as one goal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from render.allocation.schedule import UNIFORM
from scenes.errors import InputError

from .deadline import Deadline, after, at_time
from .grain import grain_words, read_grain

DRAFT: Final = "draft"
GRAINS: Final = {"fine": 0.003, "overnight": 0.001}
"""Standard error of the lightness of frames as shown, as a share of that of white, by quality; a draft is one round."""


@dataclass(frozen=True)
class Goal:
    """What ends the work on a sheet, whichever comes first.

    Parameters
    ----------
    grain
        Standard error of every frame as shown, as a share: 0.01 is 1 %.
    deadlines
        When time is over.
    rounds
        How many rounds at most.
    """

    grain: float | None = None
    deadlines: tuple[Deadline, ...] = ()
    rounds: int | None = None

    def __post_init__(self) -> None:
        if self.grain is None and not self.deadlines and self.rounds is None:
            raise ValueError("a goal without an end")

    def seconds_left(self) -> float:
        """Return the seconds until the first deadline; infinite without one."""
        return min((deadline.seconds_left() for deadline in self.deadlines), default=math.inf)

    def why_reached(self, rounds: int, grains: Sequence[float | None]) -> str:
        """Return why it is reached after so many rounds, by the grain of each frame; nothing where it is not."""
        if self.rounds is not None and rounds >= self.rounds:
            return f"{self.rounds} rounds are done" if self.rounds > 1 else "the draft is done"
        if rounds >= len(UNIFORM):  # before, grain is known of a run alone that lags behind others
            if self.grain is not None and _all_within(self.grain, grains):
                return f"no frame has more grain than {grain_words(self.grain)}"
            if all(grain == 0 for grain in grains):
                return "no frame has any grain"  # as black ones: further rounds would do nothing
        if rounds and self.seconds_left() <= 0:
            return f"{self.next_deadline.option} was over"
        return ""

    def verdict(self, grains: Sequence[float | None]) -> str:
        """Return how good frames of these grains are, by the grain wanted where they miss it, else by quality."""
        if self.grain is not None and not _all_within(self.grain, grains):
            return f"coarser than the grain wanted, {grain_words(self.grain)}"
        quality = quality_of(grains)
        if quality == DRAFT:
            return f"coarser than --quality fine, {grain_words(GRAINS['fine'])}"
        return f"as fine as --quality {quality}, {grain_words(GRAINS[quality])}"

    @property
    def next_deadline(self) -> Deadline:
        """The deadline that comes first; there is one at least."""
        return min(self.deadlines, key=Deadline.seconds_left)


def quality_of(grains: Sequence[float | None]) -> str:
    """Return the finest quality that all frames of these grains have."""
    return next((name for name, grain in reversed(GRAINS.items()) if _all_within(grain, grains)), DRAFT)


def _all_within(most: float, grains: Sequence[float | None]) -> bool:
    """Return whether all grains are measured, and none is over `most`."""
    return all(grain is not None and grain <= most for grain in grains)


def goal_of(
    quality: str | None, grain: str | None = None, work_for: str | None = None, until: str | None = None
) -> Goal:  # fmt: skip
    """Return the goal of the options as they were typed; none of them means a draft.

    Raises
    ------
    InputError
        For a value that is none, and for options that contradict each other.
    """
    if quality is not None and grain is not None:
        raise InputError(f"--quality {quality}: is a grain by name, and --grain {grain} another; give one of them")
    deadlines = tuple(
        read(typed) for read, typed in ((after, work_for), (at_time, until)) if typed is not None
    )  # fmt: skip
    if quality == DRAFT and deadlines:
        raise InputError(
            f"--quality {quality}: is one round however long it takes; with {deadlines[0].option} give --quality fine, "
            "a --grain, or neither"
        )
    wanted = GRAINS.get(quality or "") if grain is None else read_grain(grain)
    return Goal(wanted, deadlines, rounds=None if wanted or deadlines else 1)
