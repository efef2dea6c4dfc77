"""Text, tables and pictures one below the other, on as many pages as they take."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from .box import Box
from .page import new_page
from .size import Paper
from .text import Lettering

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PICTURE_SPACE_CM: Final = 0.35
"""Between a picture and the text beside it."""
RULE_PT: Final = 0.5
NUMBER: Final = Lettering(10)
NUMBER_CM: Final = 3.0
"""Width beside headings, for the number of the page."""
CELL_CM: Final = 0.09
"""Round the text of a cell."""
TICK_CM: Final = 0.36
"""Side of a box to tick."""


class Flow:
    """Blocks from the top of a page down, on a new page where one has no room for the next.

    Parameters
    ----------
    paper
        Of the pages.
    heading
        What stands at the top of each page.
    lettering
        Of the heading.
    """

    def __init__(self, paper: Paper, heading: str, lettering: Lettering) -> None:
        self.paper, self.heading, self.lettering = paper, heading, lettering
        self.pages: list[Axes] = []
        self._start_page()

    @property
    def inner(self) -> Box:
        """The page inside its margins."""
        return self.paper.inner

    def space(self, cm: float) -> None:
        """Leave so much free."""
        self.top -= cm

    @property
    def width_cm(self) -> float:
        """How wide texts may be: they are beside a picture as long as it reaches down."""
        return (self._beside if self.top > self._beside.bottom else self.inner).width

    def paragraph(self, text: str, lettering: Lettering) -> None:
        """Write a text in lines."""
        lines = lettering.wrapped(text, self.width_cm)
        self.require(len(lines) * lettering.line_cm)
        lettering.write_lines(self._axes, self.inner.left, self.top, "\n".join(lines))
        self.top -= len(lines) * lettering.line_cm

    def tick(self, text: str, lettering: Lettering, width_cm: float | None = None) -> None:
        """Write a text beside a box to tick."""
        from matplotlib.patches import Rectangle

        indent = 2 * TICK_CM
        lines = lettering.wrapped(text, (width_cm or self.width_cm) - indent)
        self.require(len(lines) * lettering.line_cm)
        place = (self.inner.left, self.top - lettering.line_cm / 2 - TICK_CM / 2)
        self._axes.add_patch(Rectangle(place, TICK_CM, TICK_CM, fill=False, edgecolor="black", linewidth=1.0))
        lettering.write_lines(self._axes, self.inner.left + indent, self.top, "\n".join(lines))
        self.top -= len(lines) * lettering.line_cm

    def table(self, rows: Sequence[Sequence[str]], widths_cm: Sequence[float], lettering: Lettering) -> None:
        """Write a table, its first row and its first column bold, a line below each row; no row is divided."""
        bold = Lettering(lettering.size_pt, bold=True)
        for i, row in enumerate(rows):
            fonts = [bold if i == 0 or column == 0 else lettering for column in range(len(row))]
            cells = [
                font.wrapped(text, width - 2 * CELL_CM) for font, text, width in zip(fonts, row, widths_cm, strict=True)
            ]
            height = max(map(len, cells)) * lettering.line_cm + CELL_CM
            self.require(height)
            left = self.inner.left
            for font, lines, width in zip(fonts, cells, widths_cm, strict=True):
                font.write_lines(self._axes, left + CELL_CM, self.top - CELL_CM / 2, "\n".join(lines))
                left += width
            self.top -= height
            self._axes.plot([self.inner.left, left], [self.top, self.top], color="black", linewidth=RULE_PT)

    def picture(self, rgb: NDArray[np.uint8], width_cm: float) -> None:
        """Show a picture, (height, width, 3), at the right edge of the page; what follows is beside it, not below."""
        height = width_cm * rgb.shape[0] / rgb.shape[1]
        box = Box(self.inner.right - width_cm, self.top - height, self.inner.right, self.top)
        self._axes.imshow(rgb, extent=(box.left, box.right, box.bottom, box.top), aspect="auto", interpolation="none")
        self._axes.set(xlim=(0, self.paper.width_cm), ylim=(0, self.paper.height_cm))
        self._beside = Box(self.inner.left, box.bottom, box.left - PICTURE_SPACE_CM, box.top)

    def require(self, height_cm: float) -> None:
        """Start a new page unless this one has so much room."""
        if self.top - height_cm < self.inner.bottom:
            self._start_page()

    @property
    def _axes(self) -> Any:
        return self.pages[-1]

    def _start_page(self) -> None:
        self.pages.append(new_page(self.paper))
        self.top = self.inner.top
        self._beside = self.inner
        lines = self.lettering.wrapped(self.heading, self.inner.width - NUMBER_CM)
        self.lettering.write_lines(self._axes, self.inner.left, self.top, "\n".join(lines))
        self.top -= (len(lines) + 0.3) * self.lettering.line_cm


def number_pages(pages: Sequence[Axes], paper: Paper) -> None:
    """Write `page 2 of 3` at the upper right of pages, where there are more than one."""
    for i, axes in enumerate(pages if len(pages) > 1 else ()):
        style = {"ha": "right"}
        NUMBER.write_lines(axes, paper.inner.right, paper.inner.top, f"page {i + 1} of {len(pages)}", **style)
