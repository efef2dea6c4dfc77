"""The contact sheet: frames in reading order, or as a matrix of one row a setup and one column a finish."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from itertools import groupby
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gallery.captions.frame import exposure_words, lamp_words, reading_words, sheet_facts, shine_words
from gallery.captions.lamp import light_words
from gallery.files.names import file_name
from gallery.files.pictures import write_picture
from gallery.frames.close_up import detail_facts, detail_words
from materials.surface.named_finishes import named_finishes
from render.frame import Frame
from render.images.store import write_whole
from scenes.lamps.lamp import Lamp

from .page import INK, NAME_PX, SOFT_INK, WARNING, Cell, Row, Said, compose

UPRIGHT_COLUMNS, LYING_COLUMNS = 4, 3  # so that fourteen frames and their captions fill an A4 page
MATRIX_COLUMNS = 6


def compose_sheet(title: str, subtitle: str, frames: Sequence[Frame]) -> NDArray[np.uint8]:
    """Return the contact sheet as a picture."""
    lamps = [lamp.lamp for frame in frames for lamp in frame.setup.lamps]
    return compose(title, subtitle, _matrix(frames) or _reading_order(frames), lamp_notes(lamps))


def write_sheet(folder: Path, title: str, subtitle: str, frames: Sequence[Frame]) -> None:
    """Write sheet.png, sheet.json and frames/SETUP--FINISH.png under a folder, each whole or not at all."""
    for frame in frames:
        write_picture(folder / "frames" / frame_name(frame), frame.rgb)
    write_picture(folder / "sheet.png", compose_sheet(title, subtitle, frames))
    text = json.dumps(sheet_facts(title, list(frames)), indent=1) + "\n"
    write_whole(folder / "sheet.json", lambda file: file.write(text.encode()))


def frame_name(frame: Frame) -> str:
    """Return the file name of a frame: `rembrandt--gloss.png`, of a close-up `rembrandt--gloss--helmet.png`."""
    closer = (frame.setup.detail,) if frame.setup.detail else ()
    return file_name(frame.setup.name, frame.shot.finish, *closer)


def lamp_notes(lamps: Iterable[Lamp]) -> list[Said]:
    """Return what lamps are, a line each."""
    return [Said(f"{lamp.name}: {light_words(lamp)}", SOFT_INK) for lamp in dict.fromkeys(lamps)]


def said_of_setup(frame: Frame) -> list[Said]:
    """Return a setup's lamps and the camera's settings, a line each."""
    lamps = " + ".join(lamp_words(lamp) for lamp in frame.setup.lamps)
    return [Said(lamps, SOFT_INK), Said(exposure_words(frame), SOFT_INK)]


def said_of_frame(frame: Frame, *, shine: bool = True) -> list[Said]:
    """Return what was measured on a frame, of its `shine` too, and what its setup lacks."""
    said = [Said(reading) for reading in (*reading_words(frame), *(shine_words(frame) if shine else ()))]
    said += [Said(words, SOFT_INK) for words in detail_words(detail_facts(frame))]
    return said + [Said(lack, WARNING) for lack in frame.setup.lacks]


def finish_words(finish: str) -> str:
    """Return a finish as it heads a column: `satin, 27 GU`."""
    named = named_finishes().get(finish)
    if named is not None:
        return f"{finish}, {named.gloss_units:g} GU"
    return finish if finish == "as-built" else f"{finish} GU"


def _reading_order(frames: Sequence[Frame]) -> list[Row]:
    height, width = frames[0].rgb.shape[:2]
    columns = UPRIGHT_COLUMNS if height > width else LYING_COLUMNS
    cells = []
    for frame in frames:
        name = frame.setup.name if frame.shot.finish == "as-built" else f"{frame.setup.name}, {frame.shot.finish}"
        below = (Said(name, INK, NAME_PX), *said_of_setup(frame), *said_of_frame(frame, shine=False))
        cells.append(Cell(frame.rgb, below))
    return [Row(tuple(cells[i : i + columns])) for i in range(0, len(cells), columns)]


def _matrix(frames: Sequence[Frame]) -> list[Row]:
    """Return one row a setup and one column a finish, where there are several finishes, and not too many."""
    rows = [list(row) for _, row in groupby(frames, key=lambda frame: frame.setup.name)]
    finishes = [frame.shot.finish for frame in rows[0]]
    if not 1 < len(finishes) <= MATRIX_COLUMNS or any([f.shot.finish for f in row] != finishes for row in rows):
        return []
    return [
        Row(
            tuple(
                Cell(frame.rgb, tuple(said_of_frame(frame)), (Said(finish_words(frame.shot.finish), INK, NAME_PX),))
                for frame in row
            ),
            (Said(row[0].setup.name, INK, NAME_PX * 1.2), *said_of_setup(row[0])),
        )
        for row in rows
    ]
