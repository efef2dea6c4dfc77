"""What other runs of the same command make meanwhile: a share need not open it, and take its frames, once more."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from gallery.budget.goal import Goal
from gallery.sheet.request import Request

from .member import Member
from .summary import SheetSummary, summary_of


class OtherRuns:
    """The sheets that other runs have written in a folder since this one began."""

    def __init__(self, out: Path, members: Sequence[Member]) -> None:
        self._out = out
        self._known = {member: summary_of(out / member.sheet) for member in members}

    def have_made(self, member: Member, request: Request, goal: Goal) -> bool:
        """Return whether one has made the sheet of a member, as is asked for and as far as a goal wants it now."""
        sheet = summary_of(self._out / member.sheet)
        if sheet is None or sheet is self._known[member]:
            return False
        asked = request.seen_from(self._out / member.sheet).model_dump(mode="json")
        return sheet.asked == asked and _is_as_wanted(sheet, goal)

    def note_own(self, member: Member) -> None:
        """Note that this run has made the sheet of a member."""
        self._known[member] = summary_of(self._out / member.sheet)


def _is_as_wanted(sheet: SheetSummary, goal: Goal) -> bool:
    """Return whether a sheet has the rounds that a goal wants by now, or no more grain than it wants at last."""
    has_rounds = goal.rounds is not None and (sheet.rounds or 0) >= goal.rounds
    return has_rounds or (goal.grain is not None and sheet.has_grain(goal.grain))
