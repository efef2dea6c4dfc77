"""`spruelight sheet FOLDER`: a contact sheet of each arrangement of a folder, and an index of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from gallery.files.writable import require_writable
from gallery.terminal import print_lines, print_note, print_written

from .opening import close_tracing, open_arrangement, open_tracing

if TYPE_CHECKING:
    from gallery.budget.goal import Goal
    from gallery.cluster.share import Share
    from gallery.collection.entry import Entry
    from gallery.collection.member import Member
    from gallery.sheet.request import Request
    from scenes.arrangement.resolving import ResolvedArrangement


def make_sheets(
    folder: Path, request: Request, out: Path, make_sheet: Callable[..., Any], goal: Goal, share: Share, as_json: bool
) -> None:
    """Make a sheet of each arrangement of a folder as `request` says, and print what was made and what failed.

    `make_sheet` is that of `gallery.sheet.making`.

    Raises
    ------
    InputError
        Where there is none, the request fits no arrangement, or `out` cannot be written to.
    typer.Exit
        With status 1 where one failed, 2 where none was made and the input of all was wrong.
    """
    from gallery.collection.index import PAGE, require_own_index
    from gallery.collection.making import make_collection
    from gallery.collection.other_runs import OtherRuns
    from gallery.collection.scanning import find_collection
    from gallery.frames.shots import require_known

    require_known(request.setups, request.finishes)
    collection = find_collection(folder, out, with_meshes=bool(request.sizing))
    require_writable(out)
    require_own_index(out)
    for sentence in (*collection.notes, *(mistake for member in collection.members for mistake in member.mistakes)):
        print_note(sentence)

    described: set[Member] = set()
    others = OtherRuns(out, collection.members)

    def make(member: Member, like: ResolvedArrangement | None, goal: Goal) -> ResolvedArrangement | None:
        own = request.model_copy(update={"file": str(member.file), "sizing": request.sizing if member.is_mesh else {}})
        if others.have_made(member, own, goal):
            return like
        arrangement = open_arrangement(member.file, own.sizing, like, is_described=member not in described)
        described.add(member)
        tracing = open_tracing(arrangement)
        try:
            make_sheet(arrangement, own, out / member.sheet, tracing, goal=goal, sums_up=False)
        finally:
            close_tracing(tracing)
        others.note_own(member)
        return arrangement

    printed = set()

    def report(entry: Entry) -> None:
        if entry.failure is None and entry.member not in printed and not as_json:
            printed.add(entry.member)
            print_lines(str(out / entry.member.sheet / "sheet.png"))

    entries = make_collection(collection, out, make, goal, report, share=share)
    _sum_up(entries, goal)
    print_written(out / PAGE, as_json=as_json)
    if status := exit_status(entries):
        raise typer.Exit(status)


def exit_status(entries: Sequence[Entry]) -> int:
    """Return 0 where none failed, 2 where the input of all was wrong, else 1."""
    statuses = {entry.failure.status if entry.failure else 0 for entry in entries}
    return statuses.pop() if len(statuses) == 1 else 1


def _sum_up(entries: Sequence[Entry], goal: Goal) -> None:
    """Print on stderr how many sheets were made, the grain that is left in their frames, and what failed and why."""
    from gallery.budget.summary import grain_lines
    from gallery.collection.index import counts_words

    if goal.seconds_left() <= 0:
        print_note(f"{goal.next_deadline.option} was over; the same command goes on from there")
    print_note(counts_words(entries))
    sheets = [(entry.member.name, entry.sheet) for entry in entries if entry.sheet]
    frames = [(name, frame) for name, sheet in sheets for frame in sheet.frames]
    for line in grain_lines([(f"{name} {frame.title}", frame.grain) for name, frame in frames]):
        print_note(f"{line}; {goal.verdict([frame.grain for _, frame in frames])}")
    for sentence in (sentence for entry in entries if entry.failure for sentence in entry.failure.sentences):
        print_note(f"spruelight: {sentence}")
