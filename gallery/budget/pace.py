"""The seconds that work takes, measured while it goes on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import median
from typing import Final

RECENT: Final = 48
"""Steps that count: of late ones, so that a machine that has got busy or free is seen."""
FEW: Final = 3
"""Steps of which none can be told to be an outlier."""
OUTLIER: Final = 6.0
"""Times the seconds per cost of all quicker steps, beyond which one is left out: the machine slept meanwhile."""


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
        if not self._steps:
            return self._expected
        usual = sorted(self._steps, key=lambda step: step[1] / step[0])
        while len(usual) >= FEW and _pace(usual[-1:]) > OUTLIER * _pace(usual[:-1]):
            usual.pop()
        return _pace(usual)


def _pace(steps: Sequence[tuple[float, float]]) -> float:
    """Return the seconds per unit of cost of steps together."""
    return sum(seconds for _, seconds in steps) / sum(cost for cost, _ in steps)
