"""One page of the mat: what of the marks lies on it, at 1:1, with their names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from gallery.diagram.views.labels import Label, write_labels
from gallery.diagram.views.projection import Projection
from gallery.diagram.views.view import View
from gallery.paper.box import Box
from gallery.paper.page import new_page, page_of
from gallery.paper.text import Lettering

from .arrows import anchor_of, arrow_to
from .furniture import draw_furniture
from .mark_drawing import draw_cross, draw_lines, on_page
from .marks.mark import Mark
from .marks.words import length_words
from .tiling import Cell, Tiling

if TYPE_CHECKING:
    from matplotlib.figure import Figure

CROSS_CM: Final = 0.6
"""Half of the width of a cross."""
LETTERING: Final = Lettering(10)
WORDS_CM: Final = 6.0
"""Width of the words beside a mark."""
MOST_SHARE: Final = 0.25
"""Of a page, that words may take; the first page has them all."""
EDGE_CM: Final = 0.2
"""Between words and the edges of a page."""


def draw_tile(marks: Sequence[Mark], tiling: Tiling, cell: Cell, title: str) -> Figure:
    """Return one page of the mat."""
    table = tiling.form.table
    view = View(new_page(tiling.form.paper), Projection("above"), 1.0, (table.left, table.bottom), tiling.area(cell))
    for mark in marks:
        draw_lines(view, mark, tiling, view.extent)
    crosses = [mark.at_cm for mark in marks if mark.has_cross and tiling.cell_of(mark.at_cm) == cell]
    taken = [draw_cross(view, at_cm, CROSS_CM) for at_cm in crosses]
    anchors = [(mark, anchor) for mark in marks if (anchor := anchor_of(mark, tiling)) is not None]
    labels = [
        Label(_words(mark, tiling), on_page(view, anchor), LETTERING)
        for mark, anchor in anchors
        if tiling.cell_of(anchor) == cell
    ]
    labels.sort(key=lambda label: label.text.count("\n"), reverse=True)  # what is large has the choice
    write_labels(view, _fitting(labels, table), table.grown(-EDGE_CM), taken)
    draw_furniture(view, tiling, cell, title)
    return page_of(view.axes)


def _fitting(labels: Sequence[Label], table: Box) -> list[Label]:
    """Return labels, of which only the names are left where they would take much of the page."""
    sizes = [label.lettering.size_cm(label.text) for label in labels]
    if sum(width * height for width, height in sizes) <= MOST_SHARE * table.width * table.height:
        return list(labels)
    return [replace(label, text=label.text.partition("\n")[0]) for label in labels]


def _words(mark: Mark, tiling: Tiling) -> str:
    """Return the lines of a mark's label."""
    arrow = arrow_to(mark, tiling)
    name = mark.name if arrow is None else f"{mark.name}: {length_words(arrow.rest_cm)} beyond this tip"
    return "\n".join(piece for line in (name, *mark.words) for piece in LETTERING.wrapped(line, WORDS_CM))
