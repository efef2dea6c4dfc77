"""Rounds of a sheet until its goal is reached or time is over; the sheet on disk is remade on the way."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Final, Protocol

from .forecast import RoundUnderWay
from .goal import Goal
from .rounds_progress import RoundsProgress

if TYPE_CHECKING:
    from gallery.cluster.workers import Workers
    from render.allocation.work import Work

REMAKE_EVERY_S: Final = 180.0
REMAKE_SHARE: Final = 0.05
"""Of the time, that remaking takes at most between the first sheet and the last."""


class SheetRounds(Protocol):
    """The rounds of a sheet; see `render.allocation.rounds.Rounds`."""

    number: int
    """Of those that are complete."""

    @property
    def spent(self) -> float:
        """The cost of those."""

    def next_work(self) -> Sequence[Work]:
        """Return what is missing of the next round."""

    def complete(self) -> None:
        """Go on to the next round."""

    def grains(self) -> Sequence[float | None]:
        """Return the grain of each frame."""

    def cost_at(self, grain: float) -> float | None:
        """Return about what all passes will have cost once no frame has more grain; None where none is measured."""


class _OutOfTimeError(Exception):
    """A deadline has passed within a round."""


def run_rounds(
    rounds: SheetRounds, workers: Workers, goal: Goal, remake: Callable[[], None], progress: RoundsProgress,
    *, only_last: bool = False,
) -> str:  # fmt: skip
    """Carry out whole rounds until a goal; return why that was the end, as half a sentence.

    A round begins only where it is likely to end before the deadline. The first is finished however long it takes: a
    sheet has to exist. `remake` writes the sheet as it is between two rounds: after the first round, then every few
    minutes, before the last round that a deadline leaves time for, and at the end; with `only_last` at the end alone.
    Clocks say after which round to end, and nothing else.
    """
    sheet, grains = _SheetOnDisk(rounds, remake, progress, only_last=only_last), rounds.grains()
    ended = goal.why_reached(rounds.number, grains)
    if rounds.number and not ended:
        progress.begin_round(RoundUnderWay(rounds.number - 1, rounds.spent, 0.0), grains)  # complete by an earlier run
        sheet.remake()
    while not ended:
        work = rounds.next_work()
        enough = None if goal.grain is None else rounds.cost_at(goal.grain)
        under_way = RoundUnderWay(rounds.number, rounds.spent, sum(each.cost for each in work), enough)
        progress.begin_round(under_way, grains)
        if rounds.number and progress.is_last_in_time():
            sheet.remake()  # in case that the round takes longer than it is likely to
            progress.begin_round(under_way, grains)
        if rounds.number and not progress.ends_in_time():
            ended = f"the next round would have ended after {goal.next_deadline.option}, and is left to the next run"
            break
        try:
            workers.carry_out(work, _watched(progress.step, goal) if rounds.number else progress.step)
        except _OutOfTimeError:
            ended = f"{goal.next_deadline.option} came within round {rounds.number + 1}, which the next run finishes"
            break
        rounds.complete()
        grains = rounds.grains()
        ended = goal.why_reached(rounds.number, grains)
        if not ended and sheet.is_due():
            sheet.remake()
    sheet.remake(is_last=True)
    return ended


def _watched(step: Callable[[float], None], goal: Goal) -> Callable[[float], None]:
    """Return what notes a step of work, and ends the round at the first one after the deadline."""

    def step_in_time(cost: float) -> None:
        step(cost)
        if goal.seconds_left() <= 0:
            raise _OutOfTimeError

    return step_in_time


class _SheetOnDisk:
    """The sheet on disk: which rounds are in it, when it was made, and how long that took."""

    def __init__(
        self, rounds: SheetRounds, remake: Callable[[], None], progress: RoundsProgress, *, only_last: bool
    ) -> None:
        self._rounds = rounds
        self._remake = remake
        self._progress = progress
        self._only_last = only_last
        self._made_of: int | None = None
        self._made_at = 0.0
        self._took_s = 0.0

    def is_due(self) -> bool:
        """Return whether it is to be made now, between two rounds."""
        waited_s = self._progress.clock() - self._made_at
        return self._made_of is None or waited_s > max(REMAKE_EVERY_S, self._took_s / REMAKE_SHARE)

    def remake(self, *, is_last: bool = False) -> None:
        """Make it of the rounds that are complete, where it is not; on the way only if it is to be made there."""
        if self._made_of != self._rounds.number and (is_last or not self._only_last):
            began = self._progress.clock()
            with self._progress.remaking(is_last=is_last):
                self._remake()
            self._made_of, self._made_at = self._rounds.number, self._progress.clock()
            self._took_s = self._made_at - began
