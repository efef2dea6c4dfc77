"""How far the rounds of a sheet are, and when they will reach their goal."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from .display import Status
from .forecast import RoundUnderWay, seconds_to_goal
from .goal import Goal
from .grain import grain_words
from .time_left import Kind, TimeLeft


class RoundsProgress:
    """How far the rounds of a sheet are.

    Parameters
    ----------
    names
        Of the frames.
    frame_costs
        Of taking each.
    """

    def __init__(
        self, goal: Goal, names: Sequence[str], frame_costs: Sequence[float],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:  # fmt: skip
        self.clock = clock
        self._goal = goal
        self._names = names
        self._frame_costs = frame_costs
        self._time_left = TimeLeft(clock)
        self._under_way = RoundUnderWay(0, 0.0, 0.0)
        self._coarsest = ""
        self._is_remaking = self._is_last = False

    def begin_round(self, under_way: RoundUnderWay, grains: Sequence[float | None]) -> None:
        """Begin a round, with the grain of each frame by now."""
        measured = [(grain, name) for grain, name in zip(grains, self._names, strict=True) if grain is not None]
        coarsest, name = max(measured, default=(None, ""))
        self._under_way = under_way
        self._coarsest = "" if coarsest is None else f"grain up to {grain_words(coarsest)} ({name})"
        self._time_left.expect(Kind.tracing, under_way.cost)

    def step(self, cost: float) -> None:
        """Note that a part of the round's cost is done."""
        self._time_left.end_step(Kind.tracing, cost)

    def frame_step(self, number: int) -> None:
        """Note that a frame was taken."""
        self._time_left.end_step(Kind.frames, self._frame_costs[number])

    @contextmanager
    def remaking(self, *, is_last: bool) -> Iterator[None]:
        """Remake the sheet until the end of the context."""
        self._time_left.expect(Kind.tracing, 0.0)
        self._time_left.expect(Kind.frames, sum(self._frame_costs))
        self._is_remaking, self._is_last = True, is_last
        yield
        self._time_left.expect(Kind.frames, 0.0)
        self._is_remaking = False

    def ends_in_time(self) -> bool:
        """Return whether the round is likely to end before the deadline; until its pace is known it may."""
        if not self._time_left.is_known(Kind.tracing):
            return self._goal.seconds_left() > 0
        return self._time_left.seconds + self._remake_s <= self._goal.seconds_left()

    def is_last_in_time(self) -> bool:
        """Return whether no round after this one is likely to end before the deadline."""
        two_rounds_s = self._time_left.seconds + self._round_s(self._under_way.following())
        return two_rounds_s + self._remake_s > self._goal.seconds_left()

    def status(self) -> Status:
        """Return how far it is."""
        seconds = self._time_left.seconds
        if self._is_remaking and not self._is_last:
            following = self._under_way.following()
            seconds = self._seconds_to_goal(following, seconds + self._round_s(following))
        elif not self._is_remaking:
            seconds = self._seconds_to_goal(self._under_way, seconds)
        number = self._under_way.number + 1
        doing = "frames" if self._is_remaking else "draft" if number == 1 else f"round {number}"
        is_rough = self._goal.grain is not None and not self._is_last
        return Status(doing, self._time_left.share, seconds, is_rough, self._coarsest)

    def _seconds_to_goal(self, under_way: RoundUnderWay, left_s: float) -> float:
        pace = self._time_left.seconds_of(Kind.tracing, 1.0)
        return seconds_to_goal(self._goal, under_way, left_s, pace, self._remake_s)

    def _round_s(self, under_way: RoundUnderWay) -> float:
        return self._time_left.seconds_of(Kind.tracing, under_way.cost)

    @property
    def _remake_s(self) -> float:
        return self._time_left.seconds_of(Kind.frames, sum(self._frame_costs))
