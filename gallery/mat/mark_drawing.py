"""Marks drawn on a page, as far as they lie in a rectangle of the table."""

from __future__ import annotations

from typing import Final

import numpy as np

from gallery.diagram.views.view import MIDDLE, View
from gallery.paper.box import Box
from materials.arrays import Vector

from .arrows import arrow_to
from .clipping import clipped
from .marks.mark import Mark, Stroke
from .tiling import Tiling

HEAD_CM: Final = 0.5
"""Length of the head of an arrow, on a mat at 1:1; on a map in proportion to the root of its scale."""


def on_page(view: View, points_cm: Vector) -> Vector:
    """Return points (..., 2) of the table on the page, cm."""
    return np.asarray((points_cm - (view.extent.left, view.extent.bottom)) / view.scale + view.corner_cm)


def draw_lines(view: View, mark: Mark, tiling: Tiling, area: Box) -> None:
    """Draw what of a mark's lines lies in a rectangle of the table."""
    arrow = arrow_to(mark, tiling)
    way = mark.way if arrow is None else arrow.line
    for line in (*mark.lines, *(() if way is None else (way,))):
        width, dashes = line.stroke.value
        for piece in clipped(line.points_cm, area):
            view.page_line(on_page(view, piece), width, linestyle=(0, dashes) if dashes else "solid")
    pointed = [line for line in mark.lines if line.stroke is Stroke.arrow] + ([] if arrow is None else [arrow.line])
    for line in pointed:
        _draw_head(view, line.points_cm[0], line.points_cm[-1], area)


def draw_cross(view: View, at_cm: Vector, half_cm: float) -> Box:
    """Draw a cross at a spot of the table, and return the box of the page that it takes."""
    x, y = on_page(view, at_cm)
    for across, up in ((half_cm, 0.0), (0.0, half_cm)):
        for piece in clipped(np.array([(x - across, y - up), (x + across, y + up)]), view.frame):
            view.page_line(piece, MIDDLE)
    return Box(x, y, x, y).grown(half_cm)


def _draw_head(view: View, start_cm: Vector, tip_cm: Vector, area: Box) -> None:
    """Draw the head of an arrow, if its tip lies in a rectangle of the table."""
    if not area.holds(Box(tip_cm[0], tip_cm[1], tip_cm[0], tip_cm[1])):
        return
    back = (start_cm - tip_cm) / np.linalg.norm(tip_cm - start_cm)
    side = np.array([-back[1], back[0]])
    head = HEAD_CM / np.sqrt(view.scale) * np.array([back + 0.35 * side, 0 * back, back - 0.35 * side])
    view.page_line(on_page(view, tip_cm) + head, MIDDLE)
