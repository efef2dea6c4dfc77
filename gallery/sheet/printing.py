"""The contact sheet drawn on pages of paper: frames at their own pixels, captions as text."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import TYPE_CHECKING, Any

from gallery.paper.page import new_page, page_of
from gallery.paper.size import Paper

from .layout import SOFT_INK, TextLine
from .pagination import CAPTION_GAP_CM, GAP_CM, Pagination, PrintedRow, SheetContent, paginate
from .printed_text import PrintedLine, height_cm, printed, write

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray


def sheet_pages(content: SheetContent, paper: Paper) -> list[Figure]:
    """Return the pages of a contact sheet; to be called, and its pages written, while `drawing`.

    Raises
    ------
    InputError
        Where captions leave no room for frames.
    """
    pagination = paginate(content, paper)
    pages: list[Axes] = []
    notes = pagination.notes
    for rows in pagination.pages:
        top = _start_page(pages, pagination)
        for row in rows:
            top = _draw_row(pages[-1], row, pagination, top - GAP_CM)
    notes = _write_notes(pages[-1], notes, pagination.paper, top - GAP_CM)
    while notes:
        top = _start_page(pages, pagination)
        notes = _write_notes(pages[-1], notes, pagination.paper, top - GAP_CM)
    if len(pages) > 1:
        for i, axes in enumerate(pages):
            _write_number(axes, f"{i + 1} of {len(pages)}", pagination.paper)
    return [page_of(axes) for axes in pages]


def _start_page(pages: list[Axes], pagination: Pagination) -> float:
    """Add a page with the sheet's head, and return where the head ends, cm."""
    paper = pagination.paper
    axes = new_page(paper)
    pages.append(axes)
    top = paper.height_cm - paper.margin_cm
    write(axes, pagination.head, paper.margin_cm, top)
    return top - height_cm(pagination.head)


def _draw_row(axes: Axes, row: PrintedRow, pagination: Pagination, top: float) -> float:
    """Draw a row below `top`, its frames standing on one line, and return where it ends, cm."""
    scale, left = pagination.cm_per_px, pagination.paper.margin_cm
    write(axes, row.heading, left, top)
    ground = top - row.upper_cm - scale * row.frame_px
    for column, cell in enumerate(row.cells):
        x = left + column * (pagination.column_cm + GAP_CM)
        height, width = (scale * side for side in cell.cell.rgb.shape[:2])
        _draw_picture(axes, cell.cell.rgb, (x, x + width, ground, ground + height))
        write(axes, cell.above, x, ground + height + CAPTION_GAP_CM + height_cm(cell.above))
        write(axes, cell.below, x, ground - CAPTION_GAP_CM)
    return top - row.text_cm - scale * row.frame_px


def _draw_picture(axes: Axes, rgb: NDArray[Any], extent: tuple[float, float, float, float]) -> None:
    """Draw a picture from left to right and from bottom to top, cm; a PDF has it at its own pixels, without loss.

    A hairline round it shows where a white one ends.
    """
    from matplotlib.patches import Rectangle

    limits = axes.axis()
    axes.imshow(rgb, extent=extent, interpolation="none", aspect="auto")
    axes.axis(limits)
    left, right, bottom, top = extent
    axes.add_patch(Rectangle((left, bottom), right - left, top - bottom, fill=False, edgecolor="0.6", linewidth=0.25))


def _write_notes(axes: Axes, notes: Sequence[PrintedLine], paper: Paper, top: float) -> tuple[PrintedLine, ...]:
    """Write as many lines below `top` as the page has room for, and return the others."""
    ends = accumulate(line.letters.line_cm for line in notes)
    fit = sum(end <= top - paper.margin_cm + 1e-6 for end in ends)
    write(axes, notes[:fit], paper.margin_cm, top)
    return tuple(notes[fit:])


def _write_number(axes: Axes, number: str, paper: Paper) -> None:
    """Write a page's number in its upper right corner."""
    (line,) = printed([TextLine(number, SOFT_INK)], paper.width_cm)
    left = paper.width_cm - paper.margin_cm - line.letters.width_cm(number)
    write(axes, [line], left, paper.height_cm - paper.margin_cm)
