"""When a goal is reached follows from the rounds that are left."""

from __future__ import annotations

from gallery.budget.deadline import after
from gallery.budget.forecast import RoundUnderWay, seconds_to_goal
from gallery.budget.goal import Goal
from tests.support.clock import FakeClock


def test_before_the_first_round_is_known_the_time_left_is_that_of_what_is_done_now() -> None:
    goal = Goal(deadlines=(after("30m", FakeClock()),))
    assert seconds_to_goal(goal, RoundUnderWay(0, 0.0, 0.0, None), 12.0, 5.0, 3.0) == 15.0
