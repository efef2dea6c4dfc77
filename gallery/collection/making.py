"""The sheets of a collection, made one after the other; what fails is noted, and the rest is done."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import TypeAlias

from gallery.budget.duration import duration_words
from gallery.budget.goal import Goal
from gallery.cluster.share import WHOLE, Share
from gallery.failure import FAILED, Failure, failure_of
from gallery.terminal import print_note
from scenes.arrangement.resolving import ResolvedArrangement

from .entry import Entry, entry_after, entry_before, entry_now
from .index import write_index
from .member import Member
from .scanning import Collection
from .summary import write_small_pictures
from .visits import Visits

Make: TypeAlias = Callable[[Member, ResolvedArrangement | None, Goal], ResolvedArrangement | None]
"""Makes the sheet of a member until a goal, and returns its arrangement; the one before may lend its model, and is
returned where another run has made the sheet.
"""


def make_collection(
    collection: Collection, out: Path, make: Make, goal: Goal, report: Callable[[Entry], None], *, share: Share = WHOLE
) -> list[Entry]:
    """Make the sheet of each member in a folder below `out`, and return their entries, in the members' order.

    All sheets are drafts before any goes on. Members of one model come one after the other, so that it is loaded once,
    and leaves memory for the next. Those with a known mistake come last: until then it may be mended. A share
    begins with its own member. After each, the index is written and `report` called with its entry.

    Raises
    ------
    OSError
        Where the index cannot be written at first; later that is noted.
    """
    entries = {member: entry_before(member, out) for member in collection.members}
    write_index(out, collection, list(entries.values()))
    visits = Visits(in_order(share.in_order(collection.members)), goal)
    for goal_of_visits, members in visits:
        for member, failure in _visited(members, out, make, goal_of_visits):
            entry = entries[member] = entry_after(member, out, failure)
            visits.end(member, goal_of_visits, _rounds_to_go_on_from(entry, goal))
            entries = {each: entry_now(entries[each], out) for each in entries}
            _rewrite_index(out, collection, list(entries.values()))
            report(entry)
        if goal.seconds_left() <= 0:
            break
    return list(entries.values())


def in_order(members: Sequence[Member]) -> list[Member]:
    """Return members in the order in which they are made: those of one model together, those with mistakes last."""
    first = {member.model: i for i, member in reversed(list(enumerate(members)))}
    return sorted(members, key=lambda member: (bool(member.mistakes), first[member.model]))


def _visited(members: Sequence[Member], out: Path, make: Make, goal: Goal) -> Iterator[tuple[Member, Failure | None]]:
    """Make the sheet of each member until a goal or until time is over, and yield why it failed, or None."""
    number, began = 0, time.monotonic()
    for _, alike in groupby(members, attrgetter("model")):
        arrangement: ResolvedArrangement | None = None
        gc.collect()  # what is left of a model refers to itself: few objects, but large ones
        for member in alike:
            if goal.seconds_left() <= 0:
                return
            rest = _rest_words(number, len(members), time.monotonic() - began)
            number += 1
            aim = "draft" if goal.rounds == 1 else f"to round {goal.rounds}"
            print_note(f"{aim}, {number} of {len(members)}: {member.name}{rest}")
            try:
                arrangement = make(member, arrangement, goal)
                write_small_pictures(out / member.sheet)
            except Exception as error:  # one that nobody foresaw spoils no more than its own sheet
                yield member, failure_of(error) or _unforeseen(member, error)
            else:
                yield member, None


def _rounds_to_go_on_from(entry: Entry, goal: Goal) -> int | None:
    """Return the rounds of a sheet; None where it failed, or has no more grain than is wanted."""
    if entry.failure or entry.sheet is None or (goal.grain is not None and entry.sheet.has_grain(goal.grain)):
        return None
    return entry.sheet.rounds


def _rest_words(done: int, number: int, seconds: float) -> str:
    """Return how long the rest takes, if each takes as long as those that are done."""
    return f"; it and the rest take about {duration_words(seconds / done * (number - done))}" if done else ""


def _unforeseen(member: Member, error: Exception) -> Failure:
    return Failure((f"{member.file}: {type(error).__name__}: {error}; the mistake is spruelight's",), FAILED)


def _rewrite_index(out: Path, collection: Collection, entries: Sequence[Entry]) -> None:
    """Write the index again, or note why not: a disk may be full for a while."""
    try:
        write_index(out, collection, entries)
    except OSError as error:
        print_note(f"{error.filename}: {(error.strerror or str(error)).lower()}")
