"""The test strip: one quantity at several values side by side, with exposure and white balance held."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from PIL import Image

from render.frames import Frame, Shot
from render.held import Held, least
from render.store import write_whole
from render.tracing import Tracing

from .facts import FORMAT, frame_facts
from .fields import Field, exposures, varied
from .inputs import Opened
from .sheet import compose_sheet, write_png
from .shooting import AS_BUILT, shot_of, take_with_progress

COLUMNS = 6


def strip_shots(
    opened: Opened, setup: str, field: Field, size: tuple[int, int] | None, detail: str | None
) -> list[Shot]:
    """Return a shot for each value of a field."""
    aspect = size[0] / size[1] if size else None
    shots = [
        shot_of(changed, placed, value if field.of_finish else AS_BUILT, size, detail)
        for value, (changed, placed) in zip(field.values, varied(opened, setup, field, aspect), strict=True)
    ]
    known = {shot.geometry.fingerprint: shot.geometry for shot in shots}  # so that each is hashed once
    return [replace(shot, geometry=known[shot.geometry.fingerprint]) for shot in shots]


def take_strip(shots: Sequence[Shot], field: Field, tracing: Tracing, quality: str) -> list[Frame]:
    """Return the frames of a strip.

    Exposure is that of the frame that needs the least, so that none clips more than it would alone; the white balance
    is the first one's. A dial that is varied itself moves from what the camera chose for the arrangement as it is.
    """
    return take_with_progress(shots, tracing, quality, lambda wanted: _held(wanted, field))


def write_strip(folder: Path, opened: Opened, field: Field, frames: Sequence[Frame]) -> None:
    """Write strip.png, strip.json and the frames under a folder, each whole or not at all."""
    for value, frame in zip(field.values, frames, strict=True):
        name = f"{frame.setup.name}--{field.name}-{value}.png".replace("/", "-").replace(" ", "-")
        write_png(folder / "frames" / name, Image.fromarray(frame.rgb))
    names = [f"{field.keys[-1]} {value}" for value in field.values]
    title = f"{opened.title}: {frames[0].setup.name}, {field.name}"
    write_png(folder / "strip.png", compose_sheet(title, "exposure held", frames, names, min(len(frames), COLUMNS)))
    facts = {
        "format": FORMAT,
        "title": opened.title,
        "field": field.name,
        "frames": [{"value": value, **frame_facts(frame)} for value, frame in zip(field.values, frames, strict=True)],
    }
    write_whole(folder / "strip.json", lambda file: file.write((json.dumps(facts, indent=1) + "\n").encode()))


def _held(wanted: Sequence[Held], field: Field) -> list[Held]:
    """Return what each frame is developed with, of what each would take by itself."""
    first = wanted[0]
    if field.of_exposure:
        return [replace(first, exposure=exposure) for exposure in exposures(first.exposure, field)]
    common = least([held.exposure for held in wanted])
    return [Held(common, held.white if field.of_white else first.white) for held in wanted]
