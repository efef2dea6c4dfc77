"""`spruelight sheet FOLDER`: a contact sheet of each arrangement of a folder, and an index of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from gallery.files.writable import require_writable
from gallery.terminal import print_lines, print_note, print_written

from .opening import open_arrangement, open_tracing

if TYPE_CHECKING:
    from gallery.budget.goal import Goal
    from gallery.collection.entry import Entry
    from gallery.collection.member import Member
    from gallery.paper.size import Paper
    from gallery.sheet.request import Request
    from scenes.arrangement.resolving import ResolvedArrangement


def make_sheets(
    folder: Path, request: Request, goal: Goal, out: Path, paper: Paper | None, as_json: bool
) -> None:  # fmt: skip
    """Make a sheet of each arrangement of a folder as `request` says, and print what was made and what failed.

    Raises
    ------
    InputError
        Where there is none, the request fits no arrangement, or `out` cannot be written to.
    typer.Exit
        With status 1 where one failed, 2 where none was made and the input of all was wrong.
    """
    from gallery.collection.index import PAGE, counts_words, require_own_index
    from gallery.collection.making import make_collection
    from gallery.collection.scanning import find_collection
    from gallery.frames.shots import require_known

    require_known(request.setups, request.finishes)
    collection = find_collection(folder, out, with_meshes=bool(request.sizing))
    require_writable(out)
    require_own_index(out)
    for sentence in (*collection.notes, *(mistake for member in collection.members for mistake in member.mistakes)):
        print_note(sentence)
    entries = []
    for entry in make_collection(collection, out, _maker(request, goal, out, paper)):
        entries.append(entry)
        if entry.failure is None and not as_json:
            print_lines(str(out / entry.member.sheet / "sheet.png"))
    print_note(counts_words(entries))
    for sentence in (sentence for entry in entries if entry.failure for sentence in entry.failure.sentences):
        print_note(f"spruelight: {sentence}")
    print_written(out / PAGE, as_json=as_json)
    if status := exit_status(entries):
        raise typer.Exit(status)


def exit_status(entries: Sequence[Entry]) -> int:
    """Return 0 where all were made, 2 where the input of all was wrong, else 1."""
    statuses = {entry.failure.status if entry.failure else 0 for entry in entries}
    return statuses.pop() if len(statuses) == 1 else 1


def _maker(
    request: Request, goal: Goal, out: Path, paper: Paper | None
) -> Callable[[Member, ResolvedArrangement | None], ResolvedArrangement]:
    from gallery.sheet.making import make_sheet

    def make(member: Member, like: ResolvedArrangement | None) -> ResolvedArrangement:
        own = request.model_copy(update={"file": str(member.file), "sizing": request.sizing if member.is_mesh else {}})
        arrangement = open_arrangement(member.file, own.sizing, like)
        make_sheet(arrangement, own, out / member.sheet, open_tracing(arrangement), paper, goal=goal)
        return arrangement

    return make
