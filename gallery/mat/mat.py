"""The mat of a setup: an overview, then the pages to tape together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gallery.paper.size import Paper
from scenes.setups.placed import PlacedSetup

from .arrows import fitted
from .format import Format
from .marks.of_setup import marks_of
from .overview import draw_overview
from .tile_page import draw_tile
from .tiling import lay_pages

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def draw_mat(setup: PlacedSetup, title: str, paper: Paper) -> list[Figure]:
    """Return the pages of the mat of a setup, inside `gallery.paper.page.drawing`; `title` is the arrangement's."""
    marks = marks_of(setup)
    tiling = lay_pages(marks, [Format(paper), Format(paper.lying)])
    marks = [fitted(mark, tiling) for mark in marks]
    pages = [draw_tile(marks, tiling, cell, f"{setup.name}, {title}") for cell in tiling.cells]
    return [*draw_overview(setup, marks, tiling, title, paper), *pages]
