"""`spruelight page`: a finished sheet as one HTML file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gallery.files.writable import require_writable_file
from gallery.terminal import print_lines, print_note
from scenes.errors import InputError

from .opening import open_sheet, open_tracing


def page(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="folder of a finished sheet")],
    out: Annotated[Path | None, typer.Option("--out", help="file to write, .html; else page.html in DIR")] = None,
) -> None:
    """Write one self-contained HTML file of a finished sheet: compare, relight and set up, without network."""
    from gallery.frames.taking import statistics_line
    from gallery.page.writing import write_page

    path = out or folder / "page.html"
    if path.suffix.lower() != ".html":
        raise InputError(f"--out {path}: a page is written as .html")
    sheet = open_sheet(folder)
    require_writable_file(path)
    tracing = open_tracing(sheet.arrangement)
    write_page(path, sheet, tracing)
    print_note(f"{statistics_line(tracing.statistics)}; {path.stat().st_size / 1e6:.1f} MB in one file")
    print_lines(str(path))
