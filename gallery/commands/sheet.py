"""`spruelight sheet`: the contact sheet."""

from __future__ import annotations

from pathlib import Path

from gallery.terminal import print_note, print_written

from .opening import open_arrangement, open_tracing, require_writable
from .options import (
    Detail,
    File,
    Finishes,
    Json,
    Out,
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
    size: Size = None, detail: Detail = None, out: Out = Path("sheet"), as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Make the contact sheet of the setups; of several finishes, a row for each setup and a column for each finish."""
    from functools import partial

    from gallery.frames.shots import shots_with_room
    from gallery.frames.taking import locked_by_setup, statistics_line, take_with_progress
    from gallery.inputs import size_line
    from gallery.sheet.contact_sheet import write_sheet

    arrangement = open_arrangement(file, sizing)
    shots, left_out = shots_with_room(arrangement, setup or [], finish or [], pixels(size), detail)
    require_writable(out, "frames")
    for setup_without_room in left_out:
        print_note(setup_without_room.sentence)
    tracing = open_tracing(arrangement)
    lock = partial(locked_by_setup, shots) if len(finish or []) > 1 else None
    frames = take_with_progress(shots, tracing, quality.value, lock)
    write_sheet(out, arrangement.title, size_line(arrangement), frames, left_out)
    print_note(statistics_line(tracing.statistics))
    print_written(out / "sheet.png", as_json)
