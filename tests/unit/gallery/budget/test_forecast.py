"""When a goal is reached follows from the rounds that are left."""

from __future__ import annotations

import pytest

from gallery.budget.deadline import after
from gallery.budget.forecast import RoundUnderWay, seconds_to_goal
from gallery.budget.goal import Goal
from tests.support.clock import FakeClock


def test_before_the_first_round_is_known_the_time_left_is_that_of_what_is_done_now() -> None:
    goal = Goal(deadlines=(after("30m", FakeClock()),))
    assert seconds_to_goal(goal, RoundUnderWay(0, 0.0, 0.0), 12.0, 5.0, 3.0) == 15.0


def test_rounds_grow_by_their_passes_and_not_by_what_else_they_cost() -> None:
    under_way = RoundUnderWay(number=8, spent=80.0, cost=10.0 + 3.0)
    following = under_way.following()
    assert (following.number, following.spent) == (9, 90.0)
    assert following.cost == pytest.approx(90 / 8 + 3)


def test_the_first_rounds_double_the_passes() -> None:
    second = RoundUnderWay(0, 0.0, 12.0).following()
    third = second.following()
    assert (second.spent, second.cost) == (12.0, 12.0)
    assert (third.spent, third.cost) == (24.0, 24.0)
    assert third.following().cost == pytest.approx(48 / 8)


def test_rounds_go_on_until_one_reaches_what_is_enough() -> None:
    under_way = RoundUnderWay(number=8, spent=80.0, cost=10.0, enough=320.0)
    seconds = seconds_to_goal(Goal(grain=0.005), under_way, 20.0, 2.0, 0.0)
    assert 2 * (320 - 80) <= seconds <= 2 * (320 * 9 / 8 - 80)


def test_before_noise_is_measured_enough_is_what_usually_is() -> None:
    draft = RoundUnderWay(0, 0.0, 10.0)
    coarse, fine = (seconds_to_goal(Goal(grain=grain), draft, 10.0, 1.0, 0.0) for grain in (0.05, 0.0025))
    assert coarse == 40.0  # the uniform rounds
    assert 40 * 2**2.5 <= fine <= 40 * 2**2.5 * 9 / 8


def test_after_the_draft_it_is_made_on_disk_and_at_the_end_again() -> None:
    draft = RoundUnderWay(0, 0.0, 10.0)
    assert seconds_to_goal(Goal(rounds=1), draft, 10.0, 1.0, 4.0) == 14.0
    assert seconds_to_goal(Goal(rounds=2), draft, 10.0, 1.0, 4.0) == 10.0 + 4.0 + 10.0 + 4.0
