"""Goals: what ends the work, of options as they are typed; what contradicts is said in a sentence."""

from __future__ import annotations

import math

import pytest

from gallery.budget.deadline import after
from gallery.budget.goal import GRAINS, Goal, goal_of
from scenes.errors import InputError


def test_nothing_said_is_a_draft() -> None:
    assert goal_of(None, None, None, None) == goal_of("draft", None, None, None) == Goal(rounds=1)


@pytest.mark.parametrize("quality", ["fine", "overnight"])
def test_a_quality_is_a_grain_by_name(quality: str) -> None:
    assert goal_of(quality, None, None, None) == Goal(grain=GRAINS[quality])
    assert goal_of(quality, None, "6h", None).grain == GRAINS[quality]


def test_what_comes_first_ends_the_work() -> None:
    goal = goal_of(None, "1%", "1h", "23:59:59")
    assert goal.grain == 0.01
    assert goal.rounds is None
    assert goal.seconds_left() == pytest.approx(min(each.seconds_left() for each in goal.deadlines), abs=1)
    assert goal.next_deadline.seconds_left() == pytest.approx(goal.seconds_left(), abs=1)
    assert goal_of(None, None, "1h", None).grain is None
    assert goal_of(None, "1%", None, None).seconds_left() == math.inf


def test_all_runs_reach_a_grain_after_the_same_round_though_one_lags_behind_the_others() -> None:
    assert [Goal(grain=0.01).why_reached(rounds, [0.005]) != "" for rounds in (1, 2, 3)] == [False, False, True]


@pytest.mark.parametrize("goal", [Goal(rounds=9), Goal(deadlines=(after("6h"),))])
def test_frames_without_any_grain_are_as_good_as_they_get(goal: Goal) -> None:
    assert goal.why_reached(3, [0.0, 0.0]) == "no frame has any grain"
    assert goal.why_reached(3, [0.0, 0.01]) == ""
    assert goal.why_reached(1, [None, None]) == ""


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (("fine", "1%", None, None), "--quality fine: is a grain by name, and --grain 1% another; give one of them"),
        (("draft", "1%", None, None), "--quality draft: is a grain by name"),
        (("draft", None, "6h", None), "--quality draft: is one round however long it takes; with --for 6h give"),
        (("draft", None, None, "07:00"), "--quality draft: .* with --until 07:00 give --quality fine, a --grain, or"),
    ],
)
def test_options_that_contradict_each_other_are_wrong_input(options: tuple[str | None, ...], sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        goal_of(*options)
