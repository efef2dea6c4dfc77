"""Frames with their captions in rows: in reading order, or as a matrix of one row a setup and one column a finish."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from gallery.captions.exposure import exposure_caption
from gallery.captions.frame import highlight_lines, reading_lines
from gallery.captions.lamp import lamp_line, lamps_caption
from gallery.frames.close_up import detail_facts, detail_lines
from gallery.frames.shots import AS_BUILT, frame_title
from materials.surface.named_finishes import named_finishes
from render.frame import Frame
from scenes.lamps.lamp import Lamp

from .layout import INK, NAME_PX, SOFT_INK, WARNING, Cell, Row, TextLine

MATRIX_COLUMNS = 6


def ordered_cells(frames: Sequence[Frame]) -> list[Cell]:
    """Return the frames in their order, each with its name and captions below."""
    cells = []
    for frame in frames:
        name = frame_title(frame.setup.name, frame.shot.finish)
        lamps = TextLine(lamps_caption(frame.setup.lamps), SOFT_INK)
        captions = frame_caption(frame, highlights=False)
        cells.append(Cell(frame.rgb, (TextLine(name, INK, NAME_PX), lamps, _exposure_line(frame), *captions)))
    return cells


def rows_of(cells: Sequence[Cell], columns: int) -> list[Row]:
    """Return cells in rows of so many columns."""
    return [Row(tuple(cells[i : i + columns])) for i in range(0, len(cells), columns)]


def matrix_rows(frames: Sequence[Frame]) -> list[Row]:
    """Return one row a setup and one column a finish; nothing where there is one finish only, or too many."""
    rows = [list(row) for _, row in groupby(frames, key=lambda frame: frame.setup.name)]
    finishes = [frame.shot.finish for frame in rows[0]]
    if not 1 < len(finishes) <= MATRIX_COLUMNS or any([f.shot.finish for f in row] != finishes for row in rows):
        return []
    return [_matrix_row(row) for row in rows]


def _matrix_row(frames: Sequence[Frame]) -> Row:
    """Return the frames of a setup in its finishes; their exposure in the heading where they share it."""
    lamps = TextLine(lamps_caption(frames[0].setup.lamps), SOFT_INK)
    exposures = [_exposure_line(frame) for frame in frames]
    shared = exposures[:1] if len(set(exposures)) == 1 else []
    cells = []
    for frame, exposure in zip(frames, exposures, strict=True):
        above = (TextLine(finish_heading(frame.shot.finish), INK, NAME_PX),)
        cells.append(Cell(frame.rgb, (*([] if shared else [exposure]), *frame_caption(frame)), above))
    return Row(tuple(cells), (TextLine(frames[0].setup.name, INK, NAME_PX * 1.2), lamps, *shared))


def lamp_notes(lamps: Iterable[Lamp]) -> list[TextLine]:
    """Return a line for each different lamp, for the foot of a sheet."""
    return [TextLine(f"{lamp.name}: {lamp_line(lamp)}", SOFT_INK) for lamp in dict.fromkeys(lamps)]


def _exposure_line(frame: Frame) -> TextLine:
    return TextLine(exposure_caption(frame), SOFT_INK)


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
    return finish if finish == AS_BUILT else f"{finish} GU"
