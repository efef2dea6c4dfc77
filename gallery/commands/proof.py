"""`spruelight proof`: one quick frame."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gallery.files.writable import require_writable
from gallery.terminal import print_json, print_lines

from .opening import open_arrangement, open_tracing
from .options import Detail, File, Json, Out, Quality, QualityOption, Size, Sizing, pixels, takes_sizing


@takes_sizing
def proof(
    setup: Annotated[str, typer.Argument(help="a setup's name or .toml")], file: File = None,
    finish: Annotated[str, typer.Option("--finish", help="a topcoat")] = "as-built",
    quality: QualityOption = Quality.draft, size: Size = None, detail: Detail = None, out: Out = Path(),
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Take one quick frame of one setup."""
    from gallery.captions.facts import frame_facts
    from gallery.captions.frame import frame_lines
    from gallery.checks.arrangement import unmatched_patterns
    from gallery.checks.mixed_light import mismatches, mixed_light_facts, mixed_light_lines
    from gallery.checks.setup import setup_warnings
    from gallery.files.pictures import write_picture
    from gallery.frames.shots import shots_of
    from gallery.frames.taking import take_with_progress
    from gallery.sheet.contact_sheet import frame_name
    from scenes.setups.placement_words.facts import placement_facts, placement_lines

    arrangement = open_arrangement(file, sizing)
    shots = shots_of(arrangement, [setup], [finish], pixels(size), detail)
    require_writable(out)
    (frame,) = take_with_progress(shots, open_tracing(arrangement), quality.value)
    path = out / frame_name(frame)
    write_picture(path, frame.rgb)
    room = arrangement.declared.room
    mixed = mismatches(frame.setup, room)
    if as_json:
        print_json({**frame_facts(frame), "mixed_light": mixed_light_facts(mixed)})
        return
    unwise = [*mixed_light_lines(mixed), *setup_warnings(frame.setup, room)]
    warnings = dict.fromkeys([*unmatched_patterns(arrangement), *unwise])
    print_lines(
        str(path), *placement_lines(placement_facts(frame.setup, frame.shot.camera)), *frame_lines(frame), *warnings
    )
