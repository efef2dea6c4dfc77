"""`spruelight sheet`: the contact sheet."""

from __future__ import annotations

from pathlib import Path

from gallery.frames.exposure_scope import ExposureScope
from gallery.terminal import print_note, print_written

from .opening import open_arrangement, open_tracing, require_writable
from .options import (
    Detail,
    ExposureOption,
    File,
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


@takes_sizing
def sheet(
    file: File = None, setup: Setups = None, finish: Finishes = None, quality: QualityOption = Quality.draft,
    size: Size = None, detail: Detail = None, exposure: ExposureOption = ExposureScope.setup,
    paper: PrintOption = None, out: Out = Path("sheet"), as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Make the contact sheet of the setups; of several finishes, a row for each setup and a column for each finish."""
    from gallery.frames.shots import shots_with_room
    from gallery.frames.taking import statistics_line, take_locked
    from gallery.inputs import size_line
    from gallery.paper.size import paper_of
    from gallery.sheet.contact_sheet import ContactSheet, write_sheet, write_sheet_pages
    from gallery.sheet.request import Request, made_from

    arrangement = open_arrangement(file, sizing)
    request = Request(
        file=str(file) if file else None, sizing=sizing, setups=tuple(setup or ()), finishes=tuple(finish or ()),
        size=pixels(size), detail=detail, exposure=exposure, quality=quality.value,
    )  # fmt: skip
    shots, left_out = shots_with_room(arrangement, request.setups, request.finishes, request.size, detail)
    require_writable(out, "frames")
    for setup_without_room in left_out:
        print_note(setup_without_room.sentence)
    tracing = open_tracing(arrangement)
    frames = take_locked(shots, tracing, quality.value, exposure)
    contact_sheet = ContactSheet(arrangement.title, size_line(arrangement), frames, left_out)
    write_sheet(out, contact_sheet, made_from(request, out, shots))
    printed = []
    if paper is not None:
        printed.append(out / "sheet.pdf")
        write_sheet_pages(printed[0], contact_sheet, paper_of(paper))
    print_note(statistics_line(tracing.statistics))
    print_written(out / "sheet.png", *printed, as_json=as_json)
