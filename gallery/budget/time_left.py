"""The time that work will still take, of the costs of its parts and the pace of those that are done."""

from __future__ import annotations

import time
from collections.abc import Callable
from enum import Enum
from typing import Final

from .pace import Pace


class Kind(Enum):
    """Kinds of work, in the order of a round: each has a pace of its own."""

    tracing = "tracing"
    frames = "frames"


USUAL: Final = {Kind.tracing: 5.5, Kind.frames: 1.0}
"""Seconds per unit of cost, until the first step of a kind: as on two cores of a desk."""
LEAST_SLOWNESS: Final = 0.5
"""Of frames before the first one, when tracing is quicker than usual by whatever: a GPU helps them little."""


class TimeLeft:
    """The time that the steps of some work will still take.

    Parameters
    ----------
    clock
        In seconds; what the machine sleeps may count or not.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._paces = {kind: Pace(USUAL[kind]) for kind in Kind}
        self._left = dict.fromkeys(Kind, 0.0)
        self._done = dict.fromkeys(Kind, 0.0)
        self._step_began = clock()

    def expect(self, kind: Kind, cost: float) -> None:
        """Take work of a cost into account that is to come, in place of what was to come of its kind."""
        self._left[kind], self._done[kind] = cost, 0.0
        self._step_began = self._clock()

    def end_step(self, kind: Kind, cost: float) -> None:
        """Note that a step of a cost is done; the next one begins. One without a cost goes on."""
        if not cost:
            return
        now = self._clock()
        self._paces[kind].add(cost, now - self._step_began)
        self._step_began = now
        self._left[kind] = max(0.0, self._left[kind] - cost)
        self._done[kind] += cost

    def seconds_of(self, kind: Kind, cost: float) -> float:
        """Return the seconds that work of a kind takes, at its pace."""
        pace = self._paces[kind]
        if kind is Kind.frames and not pace.is_known:
            slowness = self._paces[Kind.tracing].seconds_per_cost / USUAL[Kind.tracing]
            return cost * USUAL[kind] * max(LEAST_SLOWNESS, slowness)
        return cost * pace.seconds_per_cost

    def is_known(self, kind: Kind) -> bool:
        """Return whether the pace of a kind was measured."""
        return self._paces[kind].is_known

    @property
    def share(self) -> float:
        """How much of the work is done, 0 to 1."""
        left, done = (sum(costs[kind] * USUAL[kind] for kind in Kind) for costs in (self._left, self._done))
        return done / (done + left) if done + left else 0.0

    @property
    def seconds(self) -> float:
        """The seconds that the work will still take; a step that takes much longer than usual counts as a usual one."""
        left = sum(self.seconds_of(kind, cost) for kind, cost in self._left.items())
        current = next((kind for kind in Kind if self._left[kind]), None)
        if current is None:
            return left
        return max(0.0, left - min(self._clock() - self._step_began, self._paces[current].step_s))
