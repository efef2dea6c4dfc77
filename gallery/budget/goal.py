"""When a sheet is good enough, or time is over: the options on quality, grain and time as one goal."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from scenes.errors import InputError

from .deadline import Deadline, after, at_time

DRAFT: Final = "draft"
GRAINS: Final = {"fine": 0.01, "overnight": 0.004}
"""Standard error of a frame as shown, as a share, by quality; a draft is one round."""
LEAST_GRAIN, MOST_GRAIN = 0.0005, 0.2
"""Below, the rounding of 8 bits is coarser; above, a draft is finer."""


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

    def seconds_left(self) -> float:
        """Return the seconds until the first deadline; infinite without one."""
        return min((deadline.seconds_left() for deadline in self.deadlines), default=math.inf)

    @property
    def next_deadline(self) -> Deadline:
        """The deadline that comes first; there is one at least."""
        return min(self.deadlines, key=Deadline.seconds_left)


def goal_of(quality: str | None, grain: str | None, work_for: str | None, until: str | None) -> Goal:
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


def read_grain(typed: str) -> float:
    """Return a grain such as `1%`, `1` or `0.5 %` as a share: 0.01 of the first.

    Raises
    ------
    InputError
        For other text, and for less than 0.05 or more than 20 percent.
    """
    match = re.fullmatch(r"(\d{1,2}(?:\.\d{1,4})?|\.\d{1,4}) ?%?", typed.strip(), re.ASCII)
    share = float(match[1]) / 100 if match else math.nan
    if not LEAST_GRAIN <= share <= MOST_GRAIN:
        raise InputError(
            f"--grain {typed}: give the grain that may be left, {LEAST_GRAIN:.2%} to {MOST_GRAIN:.0%}, as 1% or 0.5%"
        )
    return share
