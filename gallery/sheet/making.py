"""A contact sheet made: from an arrangement and a request to files in a folder."""

from __future__ import annotations

from pathlib import Path

from gallery.files.writable import require_writable
from gallery.frames.shots import shots_with_room
from gallery.frames.taking import statistics_line, take_locked
from gallery.inputs import size_line
from gallery.paper.size import Paper
from gallery.terminal import print_note
from render.images.tracing import Tracing
from scenes.arrangement.resolving import ResolvedArrangement

from .contact_sheet import ContactSheet, write_sheet, write_sheet_pages
from .request import Request, made_from


def make_sheet(
    arrangement: ResolvedArrangement, request: Request, out: Path, tracing: Tracing, paper: Paper | None = None
) -> list[Path]:
    """Make the contact sheet of an arrangement in the folder `out`, and return its pictures: sheet.png, sheet.pdf.

    Notes on stderr name the setups that have no room, and say how much was traced.

    Raises
    ------
    InputError
        Where the request does not fit the arrangement, or `out` cannot be written to; before anything is traced.
    """
    shots, left_out = shots_with_room(arrangement, request.setups, request.finishes, request.size, request.detail)
    require_writable(out, "frames")
    for setup_without_room in left_out:
        print_note(setup_without_room.sentence)
    frames = take_locked(shots, tracing, request.quality, request.exposure)
    contact_sheet = ContactSheet(arrangement.title, size_line(arrangement), frames, left_out)
    write_sheet(out, contact_sheet, made_from(request, out, shots))
    pictures = [out / "sheet.png"]
    if paper is not None:
        pictures.append(out / "sheet.pdf")
        write_sheet_pages(pictures[-1], contact_sheet, paper)
    print_note(statistics_line(tracing.statistics))
    return pictures
