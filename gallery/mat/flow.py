"""Rows of text one below the other, over as many pages as they need."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from gallery.paper.box import Box
from gallery.paper.page import new_page
from gallery.paper.size import Paper
from gallery.paper.text import Lettering

if TYPE_CHECKING:
    from matplotlib.axes import Axes

APART_CM: Final = 0.2
"""Between rows."""


class Column(NamedTuple):
    """A text of a row, in a column from `left` to `right`, cm from the left margin."""

    left: float
    right: float
    lettering: Lettering
    text: str


class Flow:
    """Pages that are filled with rows; `top` is where the next row starts, cm from the lower edge of the last page."""

    def __init__(self, paper: Paper) -> None:
        margin = paper.margin_cm
        self.inner = Box(margin, margin, paper.width_cm - margin, paper.height_cm - margin)
        self.pages: list[Axes] = []
        self._paper = paper
        self._turn_page()

    def write(self, *columns: Column) -> None:
        """Write a row, each text wrapped in its column."""
        wrapped = [(column, column.lettering.wrapped(column.text, column.right - column.left)) for column in columns]
        height = max(len(lines) * column.lettering.line_cm for column, lines in wrapped)
        if self.top - height < self.inner.bottom:
            self._turn_page()
        for column, lines in wrapped:
            column.lettering.write_lines(self.pages[-1], self.inner.left + column.left, self.top, "\n".join(lines))
        self.top -= height + APART_CM

    def _turn_page(self) -> None:
        self.pages.append(new_page(self._paper))
        self.top = self.inner.top
