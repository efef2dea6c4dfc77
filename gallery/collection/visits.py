"""Which members of a collection are worked on next, and how far: all first drafts before any second round."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, count
from typing import Final

from gallery.budget.goal import Goal

from .member import Member

FIRST: Final = (1, 2, 3)
LATER: Final = 6
"""Rounds of a visit: the first three each, then as many as about double the work. So a sheet is opened few times, and
where the store has given its lamp images up between two visits, the work is at most doubled."""


class Visits:
    """The visits to the members of a collection, each of which brings a sheet to so many rounds.

    Which come is a matter of rounds alone; clocks only end them.
    """

    def __init__(self, members: Sequence[Member], goal: Goal) -> None:
        self._members = members
        self._goal = goal
        self._rounds: dict[Member, int] = dict.fromkeys(members, 0)
        """That the sheet has of each member which is to be visited again."""

    def __iter__(self) -> Iterator[tuple[Goal, list[Member]]]:
        """Yield the goal of the next visits, and the members to be visited with it, until none is left."""
        for rounds in chain(FIRST, count(FIRST[-1] + LATER, LATER)):
            goal = replace(self._goal, rounds=min(rounds, self._goal.rounds or rounds))
            if not self._rounds:
                return
            yield goal, [member for member in self._members if self._rounds.get(member, rounds) < rounds]

    def end(self, member: Member, goal: Goal, rounds: int | None) -> None:
        """Note that a visit with a goal has ended: the sheet has so many rounds; None where no other is to come."""
        if rounds is None or rounds < (goal.rounds or 0) or goal.rounds == self._goal.rounds:
            del self._rounds[member]
        else:
            self._rounds[member] = rounds
