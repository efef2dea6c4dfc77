"""The seconds that work takes, measured while it goes on."""

from __future__ import annotations

from collections import deque
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
        Until the first step; None where nothing is known.
    """

    def __init__(self, expected: float | None = None) -> None:
        self._expected = expected
        self._steps: deque[tuple[float, float]] = deque(maxlen=RECENT)

    def add(self, cost: float, seconds: float) -> None:
        """Take a step that was made into account."""
        if cost > 0:
            self._steps.append((cost, seconds))

    @property
    def seconds_per_cost(self) -> float | None:
        """The seconds per unit of cost without outliers; None where nothing is known yet."""
        if not self._steps:
            return self._expected
        usual = self._median() * OUTLIER
        kept = [(cost, seconds) for cost, seconds in self._steps if len(self._steps) < FEW or seconds <= usual * cost]
        return sum(seconds for _, seconds in kept) / sum(cost for cost, _ in kept)

    def _median(self) -> float:
        """Return the seconds per unit of cost that half of the cost was faster than."""
        ordered = sorted(self._steps, key=lambda step: step[1] / step[0])
        half, reached = sum(cost for cost, _ in ordered) / 2, 0.0
        for cost, seconds in ordered:
            reached += cost
            if reached >= half:
                return seconds / cost
        raise AssertionError("half of the cost lies within it")
