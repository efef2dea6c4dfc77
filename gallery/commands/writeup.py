"""`spruelight writeup`: a finished sheet for the build article."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gallery.files.writable import require_writable
from gallery.paper.size import PaperName
from gallery.terminal import print_lines, print_note
from scenes.errors import InputError

from .opening import open_sheet, open_tracing
from .options import Finishes, Setups


def writeup(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="folder of a finished sheet")], setup: Setups = None,
    finish: Finishes = None,
    photo: Annotated[Path | None, typer.Option("--photo", help="your own photograph, to set beside the frame")] = None,
    paper: Annotated[PaperName, typer.Option("--paper", help="of the printer")] = PaperName.A4,
    out: Annotated[Path, typer.Option("--out", help="folder to write to")] = Path("writeup"),
) -> None:  # fmt: skip
    """Write the build article's reference pictures, words, tables and diagrams of a finished sheet."""
    from gallery.frames.taking import statistics_line
    from gallery.paper.size import paper_of
    from gallery.writeup.content import setup_texts
    from gallery.writeup.photograph import read_photograph
    from gallery.writeup.writeup import FOLDERS, with_photograph, write_writeup

    photograph = read_photograph(photo) if photo else None
    for name in FOLDERS:
        require_writable(out, name)
    sheet = open_sheet(folder)
    chosen = sheet.shots_called(setup or (), finish or ())
    if photograph is not None and len(chosen) > 1:
        there = ", ".join(f"{shot.setup.name} {shot.finish}" for shot in chosen)
        raise InputError(f"--photo {photo}: say with --setup and --finish which of these it shows: {there}")
    tracing = open_tracing(sheet.arrangement)
    setups = setup_texts(sheet.take_frames(tracing, chosen), tracing)
    if photograph is not None:
        setups = [with_photograph(setups[0], photograph)]
    written = write_writeup(out, sheet.arrangement, setups, paper_of(paper), sheet.request.frame_options)
    print_note(statistics_line(tracing.statistics))
    print_lines(*map(str, written))
