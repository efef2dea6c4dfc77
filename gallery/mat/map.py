"""The map of the pages: how they lie side by side, with the marks small."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

import numpy as np

from gallery.diagram.views.labels import BLANK, Label, write_labels
from gallery.diagram.views.projection import Projection
from gallery.diagram.views.view import MIDDLE, View
from gallery.paper.box import Box
from gallery.paper.text import Lettering

from .arrows import anchor_of
from .mark_drawing import draw_cross, draw_lines, on_page
from .marks.mark import Mark
from .tiling import Tiling, page_name

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PAGE: Final = Lettering(12, bold=True)
NAME: Final = Lettering(8.5)
CROSS_CM: Final = 0.12
CORNER_CM: Final = 0.1


def draw_map(axes: Axes, marks: Sequence[Mark], tiling: Tiling, within: Box) -> Box:
    """Draw all pages inside a box, as large as they fit; return what they take."""
    areas = [tiling.area(cell) for cell in tiling.cells]
    extent = Box(
        min(a.left for a in areas), min(a.bottom for a in areas), max(a.right for a in areas), max(a.top for a in areas)
    )
    scale = max(extent.width / within.width, extent.height / within.height)
    corner = within.left, within.top - extent.height / scale
    view = View(axes, Projection("above"), scale, corner, extent)
    taken = [_draw_page(view, page_name(cell), area) for cell, area in zip(tiling.cells, areas, strict=True)]
    for mark in marks:
        for area in areas:
            draw_lines(view, mark, tiling, area)
    spots = [mark for mark in marks if mark.has_cross]
    taken += [draw_cross(view, mark.at_cm, CROSS_CM) for mark in spots if tiling.has(mark.at_cm)]
    anchors = [(mark.name, anchor_of(mark, tiling)) for mark in spots]
    labels = [Label(name, on_page(view, at_cm), NAME) for name, at_cm in anchors if at_cm is not None]
    write_labels(view, labels, within, taken)
    return view.frame


def _draw_page(view: View, name: str, area: Box) -> Box:
    """Draw the edges of a page and its name in a corner; return the box of the name."""
    (left, bottom), (right, top) = on_page(view, np.array([(area.left, area.bottom), (area.right, area.top)]))
    view.page_line([(left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)], MIDDLE)
    width, height = PAGE.size_cm(name)
    PAGE.write_lines(view.axes, left + CORNER_CM, bottom + CORNER_CM + height, name, bbox=BLANK)
    return Box(left, bottom, left + CORNER_CM + width, bottom + CORNER_CM + height)
