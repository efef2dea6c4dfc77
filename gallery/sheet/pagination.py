"""Rows of frames on as few pages of paper as show them well, the frames as large as then fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from gallery.paper.size import Paper
from scenes.errors import InputError

from .layout import HEADING_PX, INK, SOFT_INK, Cell, Row, TextLine
from .printed_text import PrintedLine, height_cm, printed

GAP_CM: Final = 0.5
"""Between columns and above each row."""
CAPTION_GAP_CM: Final = 0.1
"""Between a frame and its captions."""
NUMBER_CM: Final = 2.5
"""Room for the page's number, beside the title."""
LEAST_SIDE_CM: Final = 4.0
"""Short side of a frame that one more page is worth."""
FINE_CM: Final = 2.54 / 150
"""Side of a frame's pixel, from which smaller ones are not seen at reading distance (common practice, no source)."""
COARSEST_CM: Final = 2.54 / 72
"""Side of a pixel at most, where a page has room: as seen as on a screen (common practice, no source)."""
LEAST_SHARE: Final = 0.75
"""Of the size at which a frame's pixels are fine, for which another page is taken."""
NOTES_SHARE: Final = 0.3
"""Of a page's height, at most, for the notes below its frames; the rest of them takes another page."""


@dataclass(frozen=True, eq=False)
class SheetContent:
    """What a sheet shows: its heading, its rows in each way that they may be arranged, and the notes at its foot."""

    title: str
    subtitle: str
    arrangements: Sequence[Sequence[Row]]
    notes: Sequence[TextLine]


@dataclass(frozen=True, eq=False)
class PrintedCell:
    """A frame, (height, width, 3), with its captions in lines."""

    cell: Cell
    above: tuple[PrintedLine, ...]
    below: tuple[PrintedLine, ...]


@dataclass(frozen=True, eq=False)
class PrintedRow:
    """Frames side by side under a heading."""

    heading: tuple[PrintedLine, ...]
    cells: tuple[PrintedCell, ...]

    @property
    def frame_px(self) -> int:
        """Height of the tallest frame, pixels."""
        return max(int(cell.cell.rgb.shape[0]) for cell in self.cells)

    @property
    def upper_cm(self) -> float:
        """Height of what is above the frames, cm."""
        heading = height_cm(self.heading) + CAPTION_GAP_CM if self.heading else 0.0
        return heading + max(height_cm(cell.above) for cell in self.cells) + CAPTION_GAP_CM

    @property
    def text_cm(self) -> float:
        """Height of all but the frames, cm."""
        return self.upper_cm + CAPTION_GAP_CM + max(height_cm(cell.below) for cell in self.cells)


@dataclass(frozen=True, eq=False)
class Pagination:
    """The rows of each page, on paper upright or lying; all frames at one scale."""

    paper: Paper
    head: tuple[PrintedLine, ...]
    notes: tuple[PrintedLine, ...]
    column_cm: float
    cm_per_px: float
    pages: tuple[tuple[PrintedRow, ...], ...]


def paginate(content: SheetContent, paper: Paper) -> Pagination:
    """Return the fewest pages on which no frame is smaller than LEAST_SIDE_CM, and of these those of largest frames.

    Frames of few pixels may be smaller, by LEAST_SHARE of the size at which their pixels are fine. Where no page can
    show them so large, it is those of largest frames; of equal ones those of most columns, whose frames are nearest to
    one another.

    Raises
    ------
    InputError
        Where captions leave no room for frames.
    """
    found = [each for rows in content.arrangements for each in _candidates(content, rows, paper)]
    if not found:
        raise InputError("--paper: the captions leave no room for frames on a page; take fewer finishes, or no --paper")
    short_px = min(min(cell.rgb.shape[:2]) for row in content.arrangements[0] for cell in row.cells)
    least = min(LEAST_SIDE_CM / short_px, LEAST_SHARE * FINE_CM)
    large = [each for each in found if each.cm_per_px >= least]
    return min(large or found, key=lambda each: (len(each.pages) if large else 0, -each.cm_per_px, each.column_cm))


def _candidates(content: SheetContent, rows: Sequence[Row], upright: Paper) -> Iterator[Pagination]:
    """Yield the pages of every number of rows that fits, on paper upright and lying."""
    columns = max(len(row.cells) for row in rows)
    widest_px = max(cell.rgb.shape[1] for row in rows for cell in row.cells)
    for paper in (upright, upright.lying):
        width, height = paper.inner_cm
        column_cm = (width - (columns - 1) * GAP_CM) / columns
        head = (
            *printed([TextLine(content.title, INK, HEADING_PX)], width - NUMBER_CM),
            *printed([TextLine(content.subtitle, SOFT_INK)], width),
        )
        notes = printed(content.notes, width)
        set_rows = [_printed_row(row, column_cm, width) for row in rows]
        free_cm = height - height_cm(head)
        notes_cm = GAP_CM + min(height_cm(notes), NOTES_SHARE * height) if notes else 0.0
        for count in range(1, len(rows) + 1):
            pages = tuple(tuple(set_rows[i : i + count]) for i in range(0, len(rows), count))
            room = [free_cm - sum(GAP_CM + row.text_cm for row in page) for page in pages]
            room[-1] -= notes_cm
            fitting = [cm / sum(row.frame_px for row in page) for cm, page in zip(room, pages, strict=True)]
            scale = min(column_cm / widest_px, COARSEST_CM, *fitting)
            if scale > 0:
                yield Pagination(paper, head, notes, column_cm, scale, pages)


def _printed_row(row: Row, column_cm: float, width_cm: float) -> PrintedRow:
    """Return a row with its captions in lines of its columns' width, and its heading in lines across the page."""
    cells = [PrintedCell(cell, printed(cell.above, column_cm), printed(cell.below, column_cm)) for cell in row.cells]
    return PrintedRow(printed(row.heading, width_cm), tuple(cells))
