"""How far the frames of shots are, while they are traced and taken."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

from render.shot import Shot

from .costs import PASS_COST, frame_costs, megapixels
from .display import Status
from .time_left import Kind, TimeLeft


class ShotsProgress:
    """How far shots are.

    Parameters
    ----------
    passes
        That are to be traced of all their lamp images together.
    """

    def __init__(self, shots: Sequence[Shot], passes: int, clock: Callable[[], float] = time.monotonic) -> None:
        self._shots = shots
        self._frame_costs = frame_costs(shots)
        self._pass_cost = PASS_COST * megapixels(shots[0])
        self._taken = 0
        self._latest = "tracing"
        self._time_left = TimeLeft(clock)
        self._time_left.expect(Kind.tracing, passes * self._pass_cost)
        self._time_left.expect(Kind.frames, sum(self._frame_costs))

    def trace_step(self, passes: int) -> None:
        """Note that passes were traced."""
        self._time_left.end_step(Kind.tracing, passes * self._pass_cost)

    def frame_step(self, number: int) -> None:
        """Note that the frame of a shot was taken."""
        self._taken += 1
        self._latest = f"{self._shots[number].setup.name}, {self._taken} of {len(self._shots)}"
        self._time_left.end_step(Kind.frames, self._frame_costs[number])

    def status(self) -> Status:
        """Return how far they are."""
        return Status(self._latest, self._time_left.share, self._time_left.seconds)
