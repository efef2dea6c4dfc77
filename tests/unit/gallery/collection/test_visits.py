"""Sheets of a folder go on in turn, by rounds alone."""

from __future__ import annotations

from itertools import islice
from pathlib import Path

from gallery.budget.goal import Goal
from gallery.collection.member import Member
from gallery.collection.visits import Visits

A, B = (Member(Path(name), name, name, name) for name in ("a", "b"))


def visited(goal: Goal, have: dict[Member, int], most: dict[Member, int], visits: int = 20) -> list[tuple[int, str]]:
    """Return the rounds and the members of the visits in turn; members have rounds by now, and end after their most."""
    have, turns, found = dict(have), Visits((A, B), goal), []
    for goal_of_visits, members in islice(turns, visits):
        for member in members:
            rounds = goal_of_visits.rounds or 0
            have[member] = max(have.get(member, 0), min(rounds, most.get(member, rounds)))
            found.append((rounds, member.name))
            turns.end(member, goal_of_visits, have[member])
    return found


def test_a_draft_is_one_visit() -> None:
    assert visited(Goal(rounds=1), {}, {}) == [(1, "a"), (1, "b")]


def test_each_has_its_first_rounds_in_turn_and_then_as_many_as_double_its_work() -> None:
    assert visited(Goal(rounds=12), {}, {}) == [(n, name) for n in (1, 2, 3, 9, 12) for name in "ab"]


def test_one_that_is_good_enough_is_visited_no_more() -> None:
    assert visited(Goal(grain=0.01), {}, {A: 2, B: 10}) == [
        (1, "a"), (1, "b"), (2, "a"), (2, "b"), (3, "a"), (3, "b"), (9, "b"), (15, "b"),
    ]  # fmt: skip


def test_one_that_has_rounds_of_an_earlier_run_is_opened_once_and_then_when_it_goes_on() -> None:
    assert visited(Goal(rounds=15), {A: 10}, {}) == [
        (1, "a"), (1, "b"), (2, "b"), (3, "b"), (9, "b"), (15, "a"), (15, "b"),
    ]  # fmt: skip


def test_one_that_failed_is_visited_no_more() -> None:
    visits = Visits((A, B), Goal(rounds=2))
    turns = iter(visits)
    goal, members = next(turns)
    assert members == [A, B]
    visits.end(A, goal, None)
    visits.end(B, goal, 1)
    assert next(turns)[1] == [B]
