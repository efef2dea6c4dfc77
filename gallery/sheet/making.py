"""A contact sheet made: from an arrangement and a request to files in a folder."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from gallery.budget.goal import Goal, goal_of
from gallery.cluster.workers import ThisProcess
from gallery.files.writable import require_writable
from gallery.frames.shots import shots_with_room
from gallery.frames.taking import statistics_line, take_stored
from gallery.frames.work import work_on
from gallery.inputs import size_line
from gallery.paper.size import Paper
from gallery.terminal import print_note
from render.allocation.rounds import Rounds
from render.images.tracing import Tracing
from scenes.arrangement.resolving import ResolvedArrangement

from .contact_sheet import ContactSheet, write_sheet, write_sheet_pages
from .request import Request, made_from
from .run_notes import RunNotes

if TYPE_CHECKING:
    from gallery.cluster.division import WorkersFor


def make_sheet(
    arrangement: ResolvedArrangement, request: Request, out: Path, tracing: Tracing, paper: Paper | None = None,
    *, goal: Goal | None = None, workers_for: WorkersFor | None = None, sums_up: bool = True,
) -> list[Path]:  # fmt: skip
    """Make the contact sheet of an arrangement in the folder `out`, and return its pictures: sheet.png, sheet.pdf.

    It is remade whole now and then until the goal, else that of the request's quality. Notes on stderr name the setups
    that have no room, say how much was traced, and with `sums_up` what was done; summary.json has that as facts.

    Raises
    ------
    InputError
        Where the request does not fit the arrangement, or `out` cannot be written to; before anything is traced.
    """
    shots, left_out = shots_with_room(arrangement, request.setups, request.finishes, request.size, request.detail)
    require_writable(out, "frames")
    for setup_without_room in left_out:
        print_note(setup_without_room.sentence)
    goal = goal or goal_of(request.quality)
    workers = workers_for(request, shots, tracing) if workers_for else ThisProcess(tracing)
    pictures = [out / "sheet.png", *([out / "sheet.pdf"] if paper else [])]
    notes = RunNotes(out, goal, shots, left_out, is_printed=sums_up and goal.rounds != 1)
    notes.begin()

    def remake(rounds: Rounds, frame_step: Callable[[int], None]) -> None:
        frames, grains = take_stored(shots, tracing, request.exposure, frame_step), rounds.grains()
        contact_sheet = ContactSheet(arrangement.title, size_line(arrangement), frames, grains, left_out)
        write_sheet(out, contact_sheet, made_from(request, out, shots, rounds.number))
        if paper:
            write_sheet_pages(pictures[-1], contact_sheet, paper)
        notes.remade(rounds, grains)

    with notes.of_early_end():
        why = work_on(shots, tracing, goal, workers, remake)
    print_note(statistics_line(tracing.statistics))
    notes.end(why)
    return pictures
