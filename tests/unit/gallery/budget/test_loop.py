"""Whole rounds until a goal; the sheet on disk remade on the way; clocks say when to end, and nothing else."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from types import SimpleNamespace
from typing import Any

import pytest

from gallery.budget.deadline import Deadline
from gallery.budget.goal import Goal
from gallery.budget.loop import REMAKE_EVERY_S, run_rounds
from gallery.budget.rounds_progress import RoundsProgress
from gallery.budget.time_left import USUAL, Kind
from tests.support.clock import FakeClock

NAMES = ("loop", "rim")
FRAMES_COST = 2.0
PACE = USUAL[Kind.tracing]
STEPS = 8


class FakeRounds:
    """Rounds as a sheet has them: uniform ones first, then each an eighth of all before; grain falls with the work."""

    def __init__(self, number: int = 0, first_cost: float = 10.0 / PACE) -> None:
        self.number, self.spent = 0, 0.0
        self.first_cost = first_cost
        while self.number < number:
            self.complete()

    @property
    def cost(self) -> float:
        """Of the next round."""
        return self.first_cost * {0: 1, 1: 1, 2: 2}.get(self.number, 0) or self.spent / 8

    def next_work(self) -> Sequence[Any]:
        """Return the work of the next round, in two pieces."""
        return [SimpleNamespace(cost=self.cost / 2)] * 2

    def complete(self) -> None:
        """Go on to the next round."""
        self.spent += self.cost
        self.number += 1

    def grains(self) -> list[float | None]:
        """Return the grain of two frames."""
        if self.number < 3:
            return [None, None]
        grain = 0.02 * math.sqrt(4 * self.first_cost / self.spent)
        return [grain / 2, grain]

    def cost_at(self, grain: float) -> float | None:
        """Return what all passes cost at a grain."""
        return 4 * self.first_cost * (0.02 / grain) ** 2 if self.number >= 3 else None


class FakeSheet:
    """A sheet whose rounds take PACE seconds per unit of cost; `before_step` is called before each step of a round."""

    def __init__(self, goal: Callable[[FakeClock], Goal], number: int = 0, first_cost: float = 10.0 / PACE) -> None:
        self.clock = FakeClock()
        self.rounds = FakeRounds(number, first_cost)
        self.goal = goal(self.clock)
        self.progress = RoundsProgress(self.goal, NAMES, [FRAMES_COST / 2] * 2, self.clock)
        self.made_of: list[int] = []
        self.made_at: list[float] = []
        self.before_step: Callable[[], None] = lambda: None

    def carry_out(self, work: Sequence[Any], tick: Callable[[float], None]) -> None:
        """Carry out work in steps."""
        for each in work:
            for _ in range(STEPS):
                self.before_step()
                self.clock.now += PACE * each.cost / STEPS
                tick(each.cost / STEPS)

    def remake(self) -> None:
        """Remake the sheet, which takes some seconds."""
        for number in range(2):
            self.clock.now += FRAMES_COST / 2
            self.progress.frame_step(number)
        self.made_of.append(self.rounds.number)
        self.made_at.append(self.clock.now)

    def run(self, *, only_last: bool = False) -> str:
        """Run to the end."""
        return run_rounds(self.rounds, self, self.goal, self.remake, self.progress, only_last=only_last)


def until(seconds: float, **others: Any) -> Callable[[FakeClock], Goal]:
    """Return a goal that ends after so many seconds of a clock."""
    return lambda clock: Goal(deadlines=(Deadline("--for 1h", clock.now + seconds, clock),), **others)


def test_a_draft_is_one_round() -> None:
    sheet = FakeSheet(lambda _: Goal(rounds=1))
    assert sheet.run() == "the draft is done"
    assert sheet.made_of == [1]


def test_a_grain_is_reached_by_every_frame_and_no_round_later() -> None:
    sheet = FakeSheet(lambda _: Goal(grain=0.01))
    assert sheet.run() == "no frame has more grain than 1 %"
    assert max(filter(None, sheet.rounds.grains())) <= 0.01
    before = FakeRounds(sheet.rounds.number - 1)
    assert max(filter(None, before.grains())) > 0.01


@pytest.mark.parametrize("seconds", [200.0, 3600.0, 8 * 3600.0])
def test_the_last_round_ends_before_the_deadline_with_the_sheet_remade_and_one_more_would_not(seconds: float) -> None:
    sheet = FakeSheet(until(seconds))
    assert sheet.run() == "the next round would have ended after --for 1h, and is left to the next run"
    assert sheet.made_of[-1] == sheet.rounds.number
    assert sheet.clock.now <= seconds < sheet.clock.now + PACE * sheet.rounds.cost + 2 * FRAMES_COST


@pytest.mark.parametrize("seconds", [0.5, 11.0])
def test_the_first_round_is_finished_though_time_is_over(seconds: float) -> None:
    sheet = FakeSheet(until(seconds))
    assert "--for 1h" in sheet.run()
    assert sheet.made_of == [1]


@pytest.mark.parametrize(("grain", "ended"), [(0.02, "no frame has more"), (0.001, "the next round would have ended")])
def test_whichever_comes_first_ends_the_work(grain: float, ended: str) -> None:
    assert FakeSheet(until(600.0, grain=grain)).run().startswith(ended)


def test_the_sheet_is_remade_after_the_first_round_then_every_few_minutes_and_at_the_end() -> None:
    sheet = FakeSheet(until(3 * 3600.0))
    sheet.run()
    assert sheet.made_of[0] == 1
    assert sheet.made_of[-1] == sheet.rounds.number
    waits = [later - sooner for sooner, later in zip(sheet.made_at, sheet.made_at[1:-2], strict=False)]
    assert min(waits) > REMAKE_EVERY_S
    assert len(waits) > 10


def test_a_sheet_that_goes_on_is_made_first_of_what_there_is() -> None:
    sheet = FakeSheet(until(600.0), number=9)
    sheet.run()
    assert sheet.made_of[0] == 9
    assert sheet.rounds.number > 9


@pytest.mark.parametrize("number", [0, 4])
def test_what_is_wanted_at_the_end_alone_is_made_once(number: int) -> None:
    sheet = FakeSheet(lambda _: Goal(grain=0.005), number)
    sheet.run(only_last=True)
    assert sheet.made_of == [sheet.rounds.number]


def test_a_goal_that_is_reached_already_only_makes_the_sheet() -> None:
    sheet = FakeSheet(lambda _: Goal(rounds=1), number=9)
    sheet.run()
    assert sheet.made_of == [9]


def test_a_machine_that_slept_within_a_round_loses_no_further_round_to_it() -> None:
    undisturbed = FakeSheet(until(3600.0))
    undisturbed.run()
    sheet = FakeSheet(until(3600.0 + 120.0))
    sheet.before_step = lambda: sleep_once(sheet, 120.0)
    sheet.run()
    assert sheet.rounds.number == undisturbed.rounds.number


def test_a_deadline_that_passed_while_the_machine_slept_ends_the_round_at_its_next_step() -> None:
    sheet = FakeSheet(until(600.0))
    sheet.before_step = lambda: sleep_once(sheet, 3600.0)
    ended = sheet.run()
    assert ended == f"--for 1h came within round {sheet.rounds.number + 1}, which the next run finishes"
    assert sheet.clock.now < 4200.0
    assert sheet.made_of[-1] == sheet.rounds.number


def test_a_last_round_that_takes_longer_than_expected_costs_none_of_those_before() -> None:
    sheet = FakeSheet(until(150.0))
    sheet.before_step = lambda: hurry_no_more(sheet)
    ended = sheet.run()
    assert " came within round " in ended
    assert sheet.made_of[-1] == sheet.rounds.number
    assert sheet.rounds.number > 5


def hurry_no_more(sheet: FakeSheet) -> None:
    """Let a machine get slower and slower in the last half minute."""
    if sheet.clock.now > 120.0:
        sheet.clock.now += 2.0


def sleep_once(sheet: FakeSheet, seconds: float) -> None:
    """Let a machine sleep in the middle of its sixth round."""
    if sheet.rounds.number == 5 and sheet.progress.status().share > 0.4:
        sheet.clock.now += seconds
        sheet.before_step = lambda: None


@pytest.mark.parametrize(
    "goal",
    [
        lambda _: Goal(rounds=1),
        lambda _: Goal(rounds=12),
        lambda _: Goal(grain=0.005),
        until(1800.0),
        until(5 * 3600.0),
    ],
)
def test_the_time_left_is_right_within_a_quarter_after_a_tenth(goal: Callable[[FakeClock], Goal]) -> None:
    sheet = FakeSheet(goal)
    told: list[tuple[float, float]] = []
    sheet.before_step = lambda: told.append((sheet.clock.now, sheet.progress.status().seconds_left))
    sheet.run()
    end = sheet.clock.now
    later = [(end - now, left) for now, left in told if now > 0.1 * end]
    assert len(later) > STEPS
    for actual, left in later:
        assert left == pytest.approx(actual, rel=0.25)
