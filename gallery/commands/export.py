"""`spruelight export`: a setup's light for other programs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gallery.files.writable import require_writable_file
from gallery.terminal import print_lines

from .opening import open_arrangement, open_tracing
from .options import Detail, File, Quality, QualityOption, Size, Sizing, pixels, takes_sizing


@takes_sizing
def export(
    setup: Annotated[str, typer.Argument(help="a setup's name or .toml")],
    out: Annotated[Path, typer.Option("--out", help="file to write: .exr spectral, .xyz.exr XYZ, .tiff picture")],
    file: File = None,
    lamp: Annotated[str | None, typer.Option("--lamp", help="one lamp alone, as if of a flat spectrum")] = None,
    finish: Annotated[str, typer.Option("--finish", help="a topcoat")] = "as-built",
    quality: QualityOption = Quality.draft, size: Size = None, detail: Detail = None, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Write what the camera sees as spectral OpenEXR, as XYZ, or the frame as a picture of 16 bits."""
    from gallery.export.export import Export, lamp_number, write_export
    from gallery.export.kind import kind_of
    from gallery.frames.shots import shots_of
    from gallery.frames.taking import take_with_progress
    from render.images.passes.rungs import FIRST_RUNG
    from render.shot_light import shot_light

    kind = kind_of(out, spectral=lamp is not None)
    arrangement = open_arrangement(file, sizing)
    (shot,) = shots_of(arrangement, [setup], [finish], pixels(size), detail)
    wanted = Export(out, kind, lamp_number(shot, lamp) if lamp else None)
    require_writable_file(out)
    tracing = open_tracing(arrangement)
    take_with_progress([shot], tracing, quality.value)
    content = write_export(wanted, shot_light(shot, tracing, FIRST_RUNG))
    print_lines(str(out), content)
