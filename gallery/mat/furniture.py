"""What a page of the mat has besides marks: rulers, its name, joints with the pages round it."""

from __future__ import annotations

from typing import Final

import numpy as np

from gallery.diagram.views.ordinates import Edge
from gallery.diagram.views.view import MIDDLE, THIN, View
from gallery.paper.text import Lettering

from .format import TAB_CM
from .tiling import Cell, Tiling, page_name

RULER_CM: Final = 10
RULER_FROM_CORNER_CM: Final = 1.9
RULER_FROM_TABLE_CM: Final = 0.42
"""Room between the table and a ruler, for the words of a joint."""
NAME: Final = Lettering(14, bold=True)
SMALL: Final = Lettering(8)
TICK_CM: Final = (0.2, 0.4)
"""Of a centimetre, and of five."""
TEXT_CM: Final = 0.1
"""Between a line and the text beside it."""
DIAMOND_CM: Final = 0.35
"""Half of the diagonal of the diamonds that have to meet."""
DIAMOND_FROM_CORNER_CM: Final = 1.2
DIAMOND: Final = np.array([[1, 0], [0, 1], [-1, 0], [0, -1], [1, 0]])
DOTS: Final = (0, (1, 2))
"""Of edges to cut; lamps are dashed."""


def draw_furniture(view: View, tiling: Tiling, cell: Cell, title: str) -> None:
    """Draw on a page all that is no mark."""
    table, (column, row) = view.frame, cell
    _level_ruler(view, table.left + RULER_FROM_CORNER_CM, table.bottom - RULER_FROM_TABLE_CM)
    _upright_ruler(view, table.right + RULER_FROM_TABLE_CM, table.bottom + RULER_FROM_CORNER_CM)
    NAME.write(view.axes, table.left, table.bottom - TAB_CM + TEXT_CM, page_name(cell))
    beside = table.left + RULER_FROM_CORNER_CM + RULER_CM + 1.4
    short = SMALL.wrapped(title, table.right - beside)[0]
    SMALL.write(view.axes, beside, table.bottom - TAB_CM + TEXT_CM, short)
    for edge, neighbour in _neighbours(column, row).items():
        if neighbour in tiling.cells:
            _joint(view, edge, page_name(neighbour))


def _neighbours(column: int, row: int) -> dict[Edge, Cell]:
    return {
        "left": (column - 1, row), "right": (column + 1, row), "bottom": (column, row + 1), "top": (column, row - 1),
    }  # fmt: skip


def _level_ruler(view: View, x: float, y: float) -> None:
    view.page_line([(x, y), (x + RULER_CM, y)], THIN)
    for cm in range(RULER_CM + 1):
        view.page_line([(x + cm, y), (x + cm, y - _tick_cm(cm))], THIN)
        if cm % 5 == 0:
            SMALL.write(view.axes, x + cm + 0.06, y - TICK_CM[1], _digits(cm))


def _upright_ruler(view: View, x: float, y: float) -> None:
    view.page_line([(x, y), (x, y + RULER_CM)], THIN)
    for cm in range(RULER_CM + 1):
        view.page_line([(x, y + cm), (x + _tick_cm(cm), y + cm)], THIN)
        if cm % 5 == 0:
            SMALL.write(view.axes, x + TICK_CM[1], y + cm + 0.06, _digits(cm), rotation=90, ha="right", va="bottom")


def _tick_cm(cm: int) -> float:
    return TICK_CM[cm % 5 == 0]


def _digits(cm: int) -> str:
    return f"{cm} cm" if cm == RULER_CM else str(cm)


def _joint(view: View, edge: Edge, other: str) -> None:
    """Draw the joint with another page: the line to cut or to lay its edge on, and the diamonds that have to meet."""
    table = view.frame
    is_cut = edge in ("left", "top")
    ends = {
        "left": ((table.left, table.bottom), (table.left, table.top)),
        "right": ((table.right, table.bottom), (table.right, table.top)),
        "bottom": ((table.left, table.bottom), (table.right, table.bottom)),
        "top": ((table.left, table.top), (table.right, table.top)),
    }[edge]
    view.page_line(ends, THIN, linestyle=DOTS if is_cut else "solid")
    start, end = np.array(ends)
    along = (end - start) / np.linalg.norm(end - start)
    for middle in (start + DIAMOND_FROM_CORNER_CM * along, end - DIAMOND_FROM_CORNER_CM * along):
        view.page_line(middle + DIAMOND_CM * DIAMOND, MIDDLE)
    words = f"cut here, lay over {other}" if is_cut else f"{other} lies over this strip, its cut edge on this line"
    x, y = start + RULER_FROM_CORNER_CM * along
    match edge:
        case "left":
            SMALL.write(view.axes, x - TEXT_CM, y, words, rotation=90, ha="right", va="bottom")
        case "right":
            SMALL.write(view.axes, x + TEXT_CM, y, words, rotation=90, ha="left", va="bottom")
        case "bottom":
            SMALL.write(view.axes, x, y - TEXT_CM, words, va="top")
        case "top":
            SMALL.write(view.axes, x, y + TEXT_CM, words)
