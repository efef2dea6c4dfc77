"""`spruelight diagram`: the drawing for the table."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gallery.files.writable import require_writable_file
from gallery.paper.size import PaperName
from gallery.terminal import print_lines

from .opening import open_arrangement, open_tracing
from .options import File, Quality, Size, Sizing, pixels, takes_sizing


@takes_sizing
def diagram(
    setup: Annotated[str, typer.Argument(help="a setup's name or .toml, or as-placed")],
    file: File = None,
    out: Annotated[Path | None, typer.Option("--out", help="the file, .pdf, .svg or .png; else SETUP.pdf")] = None,
    finish: Annotated[str, typer.Option("--finish", help="a topcoat")] = "as-built",
    paper: Annotated[PaperName, typer.Option("--paper", help="of the printer")] = PaperName.A4, size: Size = None,
    mat: Annotated[bool, typer.Option("--mat", help="instead, the marks at 1:1, as pages to tape together")] = False,
    *, sizing: Sizing,
) -> None:  # fmt: skip
    """Draw where everything of a setup stands, to scale, with what to do in order, for the table."""
    from gallery.diagram.diagram import draw_diagram
    from gallery.files.names import file_name
    from gallery.frames.shots import shots_of
    from gallery.frames.taking import take_with_progress
    from gallery.mat.mat import draw_mat
    from gallery.paper.page import drawing, require_page_name, write_pages
    from gallery.paper.size import paper_of
    from render.hero_light import hero_light

    if out is not None:
        require_page_name(out)
    arrangement = open_arrangement(file, sizing)
    shots = shots_of(arrangement, [setup], [finish], pixels(size))
    placed = shots[0].setup
    path = out or Path(file_name(placed.name, *(["mat"] if mat else []), ending=".pdf"))
    require_writable_file(path)
    with drawing():
        if mat:
            pages = draw_mat(placed, arrangement.title, paper_of(paper))
        else:
            tracing = open_tracing(arrangement)
            (frame,) = take_with_progress(shots, tracing, Quality.draft.value)
            pages = draw_diagram(frame, hero_light(frame.shot, tracing), arrangement.title, paper_of(paper))
        written = write_pages(path, pages, f"{arrangement.title}: {placed.name}{', mat' if mat else ''}")
    print_lines(*map(str, written))
