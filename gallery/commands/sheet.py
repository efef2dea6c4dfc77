"""`spruelight sheet`: the contact sheet."""

from __future__ import annotations

from pathlib import Path

from gallery.frames.exposure_scope import ExposureScope
from gallery.terminal import print_written

from .opening import open_arrangement, open_tracing
from .options import (
    Detail,
    ExposureOption,
    FileOrFolder,
    Finishes,
    Json,
    Out,
    PrintOption,
    Quality,
    QualityOption,
    Setups,
    Size,
    Sizing,
    pixels,
    takes_sizing,
)
from .sheets import make_sheets


@takes_sizing
def sheet(
    file: FileOrFolder = None, setup: Setups = None, finish: Finishes = None, quality: QualityOption = Quality.draft,
    size: Size = None, detail: Detail = None, exposure: ExposureOption = ExposureScope.setup,
    paper: PrintOption = None, out: Out = Path("sheet"), as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Make the contact sheet of the setups; of several finishes, a row for each setup and a column for each finish.

    Of a folder, make that of each of its arrangements, and an index of them.
    """
    from gallery.paper.size import paper_of
    from gallery.sheet.making import make_sheet
    from gallery.sheet.request import Request

    request = Request(
        file=str(file) if file else None, sizing=sizing, setups=tuple(setup or ()), finishes=tuple(finish or ()),
        size=pixels(size), detail=detail, exposure=exposure, quality=quality.value,
    )  # fmt: skip
    printer = None if paper is None else paper_of(paper)
    if file is not None and file.is_dir():
        make_sheets(file, request, out, printer, as_json)
    else:
        arrangement = open_arrangement(file, sizing)
        print_written(*make_sheet(arrangement, request, out, open_tracing(arrangement), printer), as_json=as_json)
