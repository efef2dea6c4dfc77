"""The test strip: one field at several values side by side, with exposure, white balance and dimmers locked."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from gallery.captions.frame import FORMAT, exposure_words, frame_facts, lamp_words
from gallery.files.names import file_name
from gallery.files.pictures import write_picture
from gallery.frames.shots import take_with_progress
from gallery.sheet.contact_sheet import finish_words, lamp_notes, said_of_frame
from gallery.sheet.page import INK, NAME_PX, SOFT_INK, Cell, Row, Said, compose
from render.camera.denoise import load_denoiser
from render.camera.locked_exposure import LockedExposure, White, bracketed, shortest_exposure
from render.frame import Frame, hero_lux, light
from render.images.jobs import PASSES
from render.images.store import write_whole
from render.images.tracing import Tracing

from .field import TOPCOAT, Field, value_words
from .variation import Strip, with_dimmers

T = TypeVar("T")


def take_strip(strip: Strip, tracing: Tracing, quality: str) -> list[Frame]:
    """Return the frames of a strip.

    Dimmers that a ratio asks for are those of the arrangement as it is. The exposure is that of the frame that needs
    the least, so that none clips more than it would by itself. The white balance is that of the arrangement as it is,
    or, where that would have to be traced, the middle frame's.
    """
    load_denoiser()  # before lux are traced
    lamps = strip.base.setup.lamps
    if any(lamp.stops_under_key is not None for lamp in lamps):
        full_lux = hero_lux(strip.base, tracing).mean(axis=1).sum(axis=1)
        strip = with_dimmers(strip, [float(lux) for lux in full_lux])
    there = {(shot.geometry.fingerprint, lamp) for shot in strip.shots for lamp in shot.emitters}
    as_it_is = {(strip.base.geometry.fingerprint, lamp) for lamp in strip.base.emitters} <= there

    def lock(metered: list[LockedExposure]) -> list[LockedExposure]:
        middle = metered[len(metered) // 2].white
        return locked(strip, metered, light(strip.base, tracing, PASSES[quality]).white if as_it_is else middle)

    return take_with_progress(strip.shots, tracing, quality, lock)


def locked(strip: Strip, metered: Sequence[LockedExposure], white: White) -> list[LockedExposure]:
    """Return what each frame is developed with, by what was metered for each and the white balance that is locked.

    What is varied itself is left to vary; with an exposure that the arrangement fixes, that is the one.
    """
    whites = [own.white if strip.field.key == "white_balance" else white for own in metered]
    fixed = strip.base.camera.shutter_s is not None
    own = [each.exposure for each in metered]
    if strip.field.setting is not None:
        values = [float(value) for value in strip.field.values]
        exposures = bracketed(own[0], strip.field.setting, values, fixed)
    else:
        exposures = own if fixed else [shortest_exposure(own)] * len(own)
    return [LockedExposure(exposure, kept) for exposure, kept in zip(exposures, whites, strict=True)]


def write_strip(folder: Path, title: str, subtitle: str, field: Field, frames: Sequence[Frame]) -> None:
    """Write strip.png, strip.json and the frames under a folder, each whole or not at all."""
    for value, frame in zip(field.values, frames, strict=True):
        name = file_name(
            frame.setup.name, f"{field.name}={value}", *([frame.setup.detail] if frame.setup.detail else [])
        )
        write_picture(folder / "frames" / name, frame.rgb)
    write_picture(folder / "strip.png", compose_strip(title, subtitle, field, frames))
    text = json.dumps(strip_facts(title, field, frames), indent=1) + "\n"
    write_whole(folder / "strip.json", lambda file: file.write(text.encode()))


def compose_strip(title: str, subtitle: str, field: Field, frames: Sequence[Frame]) -> NDArray[np.uint8]:
    """Return the strip as a picture: the value large under each frame, what is held once above them."""
    cells = []
    for value, frame in zip(field.values, frames, strict=True):
        own = [Said(words, SOFT_INK) for words in _differing(frames, frame)]
        cells.append(Cell(frame.rgb, (Said(heading(field, value), INK, NAME_PX * 1.2), *own, *said_of_frame(frame))))
    row = Row(tuple(cells), (Said(f"{frames[0].setup.name}: {field.name}", INK, NAME_PX), *_locked_words(frames)))
    return compose(title, subtitle, [row], lamp_notes(_common([[lamp.lamp for lamp in f.setup.lamps] for f in frames])))


def heading(field: Field, value: Any) -> str:
    """Return a value as it heads its frame."""
    if field.steps == TOPCOAT and isinstance(value, str):
        return finish_words(value)
    return value_words(field, value)


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


def _locked_words(frames: Sequence[Frame]) -> list[Said]:
    """Return the lamps and the camera's settings that are the same in all frames, a line each."""
    lamps = " + ".join(_common([[lamp_words(lamp) for lamp in frame.setup.lamps] for frame in frames]))
    settings = _common([[exposure_words(frame)] for frame in frames])
    said = [lamps] if lamps else []
    return [Said(f"held: {words}", SOFT_INK) for words in (*said, *settings)]


def _common(rows: Sequence[Sequence[T]]) -> list[T]:
    """Return what stands in the same place of every row."""
    return [column[0] for column in zip(*rows, strict=True) if all(item == column[0] for item in column)]


def _differing(frames: Sequence[Frame], frame: Frame) -> list[str]:
    """Return the camera's settings of a frame where they are not those of all."""
    words = exposure_words(frame)
    return [] if all(exposure_words(other) == words for other in frames) else [words]
