"""A line of an index: a member, how far it is, and its sheet."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from gallery.failure import WRONG_INPUT, Failure

from .member import Member
from .summary import SheetSummary, summary_of


class State(StrEnum):
    """How far a member is; its sheet is of this run if it is made, else of an earlier one where there is one."""

    MADE = "made"
    EARLIER = "made earlier"
    WAITING = "to come"
    FAILED = "failed"


@dataclass(frozen=True)
class Entry:
    """A member with its state; `failure` is why it failed."""

    member: Member
    state: State
    sheet: SheetSummary | None = None
    failure: Failure | None = None


def entry_before(member: Member, out: Path) -> Entry:
    """Return the entry of a member before its turn: a known mistake has it failed."""
    sheet = summary_of(out / member.sheet)
    if member.mistakes:
        return Entry(member, State.FAILED, sheet, Failure(member.mistakes, WRONG_INPUT))
    return Entry(member, State.EARLIER if sheet else State.WAITING, sheet)


def entry_now(entry: Entry, out: Path) -> Entry:
    """Return an entry as it is now: before its turn another run may have made its sheet."""
    return entry_before(entry.member, out) if entry.state in (State.WAITING, State.EARLIER) else entry


def entry_after(member: Member, out: Path, failure: Failure | None) -> Entry:
    """Return the entry of a member after its turn."""
    return Entry(member, State.FAILED if failure else State.MADE, summary_of(out / member.sheet), failure)
