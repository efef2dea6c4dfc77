"""The test strip: one field at several values side by side, with exposure, white balance and dimmers locked."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from gallery.captions.exposure import exposure_caption
from gallery.captions.facts import FORMAT, frame_facts
from gallery.captions.lamp import lamp_caption
from gallery.files.facts import write_facts
from gallery.files.names import file_name
from gallery.files.pictures import write_picture
from gallery.frames.taking import take_with_progress
from gallery.sheet.layout import INK, NAME_PX, SOFT_INK, Cell, Row, TextLine, compose
from gallery.sheet.rows import finish_heading, frame_caption, lamp_notes
from render.camera.locked_exposure import LockedExposure
from render.frame import Frame
from render.hero_light import hero_light
from render.images.jobs import prepare_denoiser
from render.images.passes.rungs import FIRST_RUNG
from render.images.tracing import Tracing
from render.shot_light import shot_light
from scenes.setups.placement_words.lamp import spot_words

from .field import TOPCOAT, Field, format_value
from .locking import lock_dimmers, lock_exposures
from .variation import Strip

T = TypeVar("T")


def take_strip(strip: Strip, tracing: Tracing, quality: str) -> list[Frame]:
    """Return the frames of a strip.

    Dimmers that are to be solved are solved once, for the arrangement unchanged. The exposure is the shortest of the
    frames', so that none is brighter than under its own: where their light is the same, it is that of each. The white
    balance is that of the arrangement unchanged or, where that would have to be traced, the middle frame's.
    """
    prepare_denoiser(strip.shots, tracing, FIRST_RUNG)  # before lux are traced
    lamps = strip.base.setup.lamps
    if any(lamp.stops_under_key is not None or lamp.sheet_over_white is not None for lamp in lamps):
        strip = lock_dimmers(strip, hero_light(strip.base, tracing).setup)
    traced = {(shot.geometry.fingerprint, emitter) for shot in strip.shots for emitter in shot.emitter_shapes}
    base_traced = {(strip.base.geometry.fingerprint, emitter) for emitter in strip.base.emitter_shapes} <= traced

    def lock(metered: list[LockedExposure]) -> list[LockedExposure]:
        middle = metered[len(metered) // 2].white
        return lock_exposures(
            strip, metered, shot_light(strip.base, tracing, FIRST_RUNG).white if base_traced else middle
        )

    return take_with_progress(strip.shots, tracing, quality, lock)


def write_strip(folder: Path, title: str, subtitle: str, field: Field, frames: Sequence[Frame]) -> None:
    """Write strip.png, strip.json and the frames under a folder, each whole or not at all."""
    for value, frame in zip(field.values, frames, strict=True):
        detail = (frame.setup.detail,) if frame.setup.detail else ()
        name = file_name(frame.setup.name, f"{field.name}={value}", *detail)
        write_picture(folder / "frames" / name, frame.rgb)
    write_picture(folder / "strip.png", compose_strip(title, subtitle, field, frames))
    write_facts(folder / "strip.json", strip_facts(title, field, frames))


def compose_strip(title: str, subtitle: str, field: Field, frames: Sequence[Frame]) -> NDArray[np.uint8]:
    """Return the strip as a picture: the value large under each frame, what is the same in all above them."""
    cells = []
    for value, frame, lines in zip(field.values, frames, own_lines(frames), strict=True):
        own = [TextLine(line, SOFT_INK) for line in lines]
        cells.append(
            Cell(frame.rgb, (TextLine(heading(field, value), INK, NAME_PX * 1.2), *own, *frame_caption(frame)))
        )
    row = Row(tuple(cells), (TextLine(f"{frames[0].setup.name}: {field.name}", INK, NAME_PX), *_common_caption(frames)))
    return compose(title, subtitle, [row], lamp_notes(_common([[lamp.lamp for lamp in f.setup.lamps] for f in frames])))


def heading(field: Field, value: Any) -> str:
    """Return a value as the heading of its frame."""
    if field.steps == TOPCOAT and isinstance(value, str):
        return finish_heading(value)
    return format_value(field, value)


def strip_facts(title: str, field: Field, frames: Sequence[Frame]) -> dict[str, Any]:
    """Return a strip as plain data for JSON."""
    return {
        "format": FORMAT,
        "title": title,
        "setup": frames[0].setup.name,
        "field": field.name,
        "values": list(field.values),
        "frames": [{"value": value, **frame_facts(frame)} for value, frame in zip(field.values, frames, strict=True)],
    }


def _common_caption(frames: Sequence[Frame]) -> list[TextLine]:
    """Return the lamps and the camera settings that are the same in all frames."""
    lamps = " + ".join(_common([[lamp_caption(lamp) for lamp in frame.setup.lamps] for frame in frames]))
    settings = _common([[exposure_caption(frame)] for frame in frames])
    common = "; ".join([*([lamps] if lamps else ()), *settings])
    return [TextLine(f"the same in all: {common}", SOFT_INK)] if common else []


def _common(rows: Sequence[Sequence[T]]) -> list[T]:
    """Return the items that are the same in every row, place by place."""
    return [column[0] for column in zip(*rows, strict=True) if all(item == column[0] for item in column)]


def own_lines(frames: Sequence[Frame]) -> list[list[str]]:
    """Return for each frame the lamps, their places, the fill and the camera settings that differ between frames."""
    rows = [_settings(frame) for frame in frames]
    return [[line for line, *others in zip(row, *rows, strict=True) if set(others) != {line}] for row in rows]


def _settings(frame: Frame) -> list[str]:
    """Return what may differ between frames, as many lines of each."""
    lamps = frame.setup.lamps
    return [
        *map(lamp_caption, lamps),
        *map(spot_words, lamps),
        _fill_words(frame),
        exposure_caption(frame),
    ]


def _fill_words(frame: Frame) -> str:
    """Return how far the fill is under the key on a card facing the camera; nothing of a setup that has no key."""
    under, roles = frame.readings.key_to_fill_stops, [lamp.role for lamp in frame.setup.lamps]
    if "key" not in roles:
        return ""
    return "no fill" if under is None else f"key to fill {under:.1f} stops"
