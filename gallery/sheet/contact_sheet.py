"""The contact sheet: frames in reading order, or as a matrix of one row a setup and one column a finish."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gallery.captions.exposure import exposure_caption
from gallery.captions.facts import sheet_facts
from gallery.captions.frame import highlight_lines, reading_lines
from gallery.captions.lamp import lamp_line, lamps_caption
from gallery.files.facts import write_facts
from gallery.files.names import file_name
from gallery.files.pictures import write_picture
from gallery.frames.close_up import detail_facts, detail_lines
from materials.surface.named_finishes import named_finishes
from render.frame import Frame
from scenes.lamps.lamp import Lamp
from scenes.setups.place_setup import LeftOut

from .layout import INK, NAME_PX, SOFT_INK, WARNING, Cell, Row, TextLine, compose

UPRIGHT_COLUMNS, LYING_COLUMNS = 4, 3  # so that fourteen frames and their captions fill an A4 page
MATRIX_COLUMNS = 6


def compose_sheet(
    title: str, subtitle: str, frames: Sequence[Frame], left_out: Sequence[LeftOut] = ()
) -> NDArray[np.uint8]:
    """Return the contact sheet as a picture; its foot has the lamps, and the setups that were left out."""
    lamps = [lamp.lamp for frame in frames for lamp in frame.setup.lamps]
    notes = [*lamp_notes(lamps), *(TextLine(setup.sentence, WARNING) for setup in left_out)]
    return compose(title, subtitle, _matrix(frames) or _reading_order(frames), notes)


def write_sheet(
    folder: Path, title: str, subtitle: str, frames: Sequence[Frame], left_out: Sequence[LeftOut] = ()
) -> None:
    """Write sheet.png, sheet.json and frames/SETUP--FINISH.png under a folder, each whole or not at all."""
    for frame in frames:
        write_picture(folder / "frames" / frame_name(frame), frame.rgb)
    write_picture(folder / "sheet.png", compose_sheet(title, subtitle, frames, left_out))
    write_facts(folder / "sheet.json", sheet_facts(title, frames, left_out))


def frame_name(frame: Frame) -> str:
    """Return the file name of a frame: `rembrandt--gloss.png`, of a close-up `rembrandt--gloss--helmet.png`."""
    detail = (frame.setup.detail,) if frame.setup.detail else ()
    return file_name(frame.setup.name, frame.shot.finish, *detail)


def lamp_notes(lamps: Iterable[Lamp]) -> list[TextLine]:
    """Return a line for each different lamp, for the foot of a sheet."""
    return [TextLine(f"{lamp.name}: {lamp_line(lamp)}", SOFT_INK) for lamp in dict.fromkeys(lamps)]


def setup_caption(frame: Frame) -> list[TextLine]:
    """Return a setup's lamps and the camera's settings, a line each."""
    return [TextLine(lamps_caption(frame.setup.lamps), SOFT_INK), TextLine(exposure_caption(frame), SOFT_INK)]


def frame_caption(frame: Frame, *, highlights: bool = True) -> list[TextLine]:
    """Return a frame's readings, those of its highlights too where finishes are compared, and what its setup lacks."""
    readings = [*reading_lines(frame), *(highlight_lines(frame) if highlights else ())]
    return [
        *(TextLine(reading) for reading in readings),
        *(TextLine(line, SOFT_INK) for line in detail_lines(detail_facts(frame))),
        *(TextLine(shortfall, WARNING) for shortfall in frame.setup.shortfalls),
    ]


def finish_heading(finish: str) -> str:
    """Return the heading of a finish's column: `satin, 27 GU`."""
    named = named_finishes().get(finish)
    if named is not None:
        return f"{finish}, {named.gloss_units:g} GU"
    return finish if finish == "as-built" else f"{finish} GU"


def _reading_order(frames: Sequence[Frame]) -> list[Row]:
    upright = all(frame.rgb.shape[0] > frame.rgb.shape[1] for frame in frames)
    columns = UPRIGHT_COLUMNS if upright else LYING_COLUMNS
    cells = []
    for frame in frames:
        name = frame.setup.name if frame.shot.finish == "as-built" else f"{frame.setup.name}, {frame.shot.finish}"
        below = (TextLine(name, INK, NAME_PX), *setup_caption(frame), *frame_caption(frame, highlights=False))
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
                Cell(
                    frame.rgb, tuple(frame_caption(frame)), (TextLine(finish_heading(frame.shot.finish), INK, NAME_PX),)
                )
                for frame in row
            ),
            (TextLine(row[0].setup.name, INK, NAME_PX * 1.2), *setup_caption(row[0])),
        )
        for row in rows
    ]
