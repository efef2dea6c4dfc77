"""The seconds that work takes, measured while it goes on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate
from statistics import median
from typing import Final

RECENT: Final = 48
"""Steps that count: of late ones, so that a machine that has got busy or free is seen."""
FEW: Final = 3
"""Steps of which none can be told to be an outlier."""
OUTLIER: Final = 6.0
"""Times the usual seconds of a cost, beyond which a step is left out: the machine slept, or a program was compiled."""


class Pace:
    """Seconds per unit of cost, of the steps of late.

    Parameters
    ----------
    expected
        Until the first step.
    """

    def __init__(self, expected: float) -> None:
        self._expected = expected
        self._steps: tuple[tuple[float, float], ...] = ()  # replaced, never changed: another thread may read it

    def add(self, cost: float, seconds: float) -> None:
        """Take a step that was made into account."""
        if cost > 0:
            self._steps = (*self._steps[1 - RECENT :], (cost, seconds))

    @property
    def is_known(self) -> bool:
        """Whether a step was made."""
        return bool(self._steps)

    @property
    def step_s(self) -> float:
        """The seconds of a usual step; infinite before the first one."""
        return median(seconds for _, seconds in self._steps) if self._steps else math.inf

    @property
    def seconds_per_cost(self) -> float:
        """The seconds per unit of cost, without outliers."""
        steps = self._steps
        if not steps:
            return self._expected
        if len(steps) >= FEW:
            most = OUTLIER * _median_pace(steps)
            steps = tuple((cost, seconds) for cost, seconds in steps if seconds <= most * cost)
        return sum(seconds for _, seconds in steps) / sum(cost for cost, _ in steps)


def _median_pace(steps: Sequence[tuple[float, float]]) -> float:
    """Return the seconds per unit of cost that half of the cost took at most."""
    ordered = sorted(steps, key=lambda step: step[1] / step[0])
    reached = accumulate(cost for cost, _ in ordered)
    half = sum(cost for cost, _ in ordered) / 2
    return next(seconds / cost for (cost, seconds), so_far in zip(ordered, reached, strict=True) if so_far >= half)
