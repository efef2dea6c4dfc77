"""`spruelight strip`: one quantity at several values side by side."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gallery.files.writable import require_writable
from gallery.terminal import print_lines, print_note, print_written

from .opening import open_arrangement, open_tracing
from .options import Detail, File, Json, Out, Quality, QualityOption, Setup, Size, Sizing, pixels, takes_sizing


@takes_sizing
def strip(
    field: Annotated[str, typer.Argument(metavar="FIELD=V1,V2,...", help="what is varied, as finish=matt,satin,gloss")],
    setup: Setup, file: File = None, detail: Detail = None, quality: QualityOption = Quality.draft, size: Size = None,
    out: Out = Path("strip"), as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Make a test strip: one quantity at several values side by side, all else the same."""
    from gallery.captions.frame import frame_lines
    from gallery.frames.taking import statistics_line
    from gallery.inputs import size_line
    from gallery.strip.field import read_field
    from gallery.strip.strip import heading, own_lines, take_strip, write_strip
    from gallery.strip.variation import StripRequest, strip_of

    varied = read_field(field)
    arrangement = open_arrangement(file, sizing)
    shots = strip_of(StripRequest(arrangement, setup, pixels(size), detail), varied)
    require_writable(out, "frames")
    tracing = open_tracing(arrangement)
    frames = take_strip(shots, tracing, quality.value)
    write_strip(out, arrangement.title, size_line(arrangement), varied, frames)
    print_note(statistics_line(tracing.statistics))
    print_written(out / "strip.png", as_json=as_json)
    if not as_json:
        for value, frame, own in zip(varied.values, frames, own_lines(frames), strict=True):
            lines = dict.fromkeys([*own, *frame_lines(frame), *frame.setup.shortfalls])
            print_lines(f"{heading(varied, value)}: {'; '.join(lines)}")
