"""Pages laid side by side so that few of them hold all marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from gallery.paper.box import Box
from materials.arrays import Vector

from .format import Format
from .marks.mark import Mark

MOST_PAGES: Final = 6
"""More are not printed for lamps and cards that stand far away."""
OFFSET_CM: Final = 1.0
"""Between the ways to lay the joints that are tried."""
CLEAR_CM: Final = 2.0
"""An edge of a page this far from a spot is far enough."""
LINE_CLEAR_CM: Final = 0.5
"""And from a line that is of use only as a whole."""

Cell = tuple[int, int]
"""Column, from the left, and row, from the far side of the table."""


@dataclass(frozen=True)
class Tiling:
    """Pages of one size, whose joints form a grid.

    Parameters
    ----------
    left_cm, far_cm
        x of the left edge of column 0, y of the far edge of row 0, cm from the centre mark.
    form
        What a page is divided into.
    cells
        The pages, in the order of their names.
    """

    left_cm: float
    far_cm: float
    form: Format
    cells: tuple[Cell, ...]

    @property
    def width_cm(self) -> float:
        """Width of what a page shows of the table, cm."""
        return self.form.table.width

    @property
    def height_cm(self) -> float:
        """Height of what a page shows of the table, cm."""
        return self.form.table.height

    def area(self, cell: Cell) -> Box:
        """Return the part of the table that a page shows, cm."""
        left, far = self.left_cm + cell[0] * self.width_cm, self.far_cm - cell[1] * self.height_cm
        return Box(left, far - self.height_cm, left + self.width_cm, far)

    def cells_of(self, points_cm: Vector) -> NDArray[np.int_]:
        """Return column and row (n, 2) of the page that each of (n, 2) points lies on, or would."""
        column = np.floor((points_cm[:, 0] - self.left_cm) / self.width_cm)
        row = np.ceil((self.far_cm - points_cm[:, 1]) / self.height_cm) - 1
        return np.column_stack([column, row]).astype(int)

    def covers(self, points_cm: Vector) -> NDArray[np.bool_]:
        """Return whether each of (n, 2) points is on a page."""
        own = self.cells_of(points_cm)
        return np.asarray(np.any([(own[:, 0] == column) & (own[:, 1] == row) for column, row in self.cells], axis=0))

    def edge_distances(self, points_cm: Vector) -> Vector:
        """Return how far each of (n, 2) points is from the nearest edge of a page, cm."""
        x = (points_cm[:, 0] - self.left_cm) % self.width_cm
        y = (self.far_cm - points_cm[:, 1]) % self.height_cm
        return np.asarray(np.minimum.reduce([x, self.width_cm - x, y, self.height_cm - y]))

    def cell_of(self, point_cm: Vector) -> Cell:
        """Return the page that a point (2,) lies on, or would."""
        column, row = self.cells_of(point_cm[None])[0].tolist()
        return column, row

    def has(self, point_cm: Vector) -> bool:
        """Return whether a point (2,) is on a page."""
        return self.cell_of(point_cm) in self.cells


def page_name(cell: Cell) -> str:
    """Return the name of a page: a letter for its column, a number for its row, `B2`."""
    letters, column = "", cell[0] + 1
    while column:
        column, letter = divmod(column - 1, 26)
        letters = chr(ord("A") + letter) + letters
    return f"{letters}{cell[1] + 1}"


def lay_pages(marks: Sequence[Mark], forms: Sequence[Format]) -> Tiling:
    """Return the pages for marks, upright or lying as needs fewest; the first mark is there however large it is.

    The others come in their order, each if no more than MOST_PAGES are needed in all.
    """
    first, *others = (mark for mark in marks if len(mark.needed_cm))
    points = first.needed_cm
    fewest = _fewest(points, forms)
    laid = [first]
    for mark in others:
        more = np.vstack([points, mark.needed_cm])
        tried = _fewest(more, forms)
        if len(tried[0].cells) <= max(MOST_PAGES, len(fewest[0].cells)):
            points, fewest, laid = more, tried, [*laid, mark]
    return _clearest(fewest, laid, marks)


def _fewest(points_cm: Vector, forms: Sequence[Format]) -> list[Tiling]:
    """Return the tilings with the fewest pages that hold points."""
    tried = [
        _tiling(points_cm, left, far, form)
        for form in forms
        for left in np.arange(0.0, form.table.width, OFFSET_CM)
        for far in np.arange(0.0, form.table.height, OFFSET_CM)
    ]
    ranks = [(not _hangs_together(tiling.cells), len(tiling.cells)) for tiling in tried]
    best = min(ranks)
    return [tiling for tiling, rank in zip(tried, ranks, strict=True) if rank == best]


def _clearest(tilings: Sequence[Tiling], laid: Sequence[Mark], marks: Sequence[Mark]) -> Tiling:
    """Return the tiling whose edges are clear of spots and lines that are laid, and that shows most of all marks."""
    spots = np.array([mark.at_cm for mark in laid if mark.has_cross])
    lines = np.vstack([mark.needed_cm for mark in laid])
    drawn = np.vstack([mark.drawn_cm()[::4] for mark in marks])
    return min(
        tilings,
        key=lambda tiling: (
            -min(float(tiling.edge_distances(spots).min()), CLEAR_CM),
            int((tiling.edge_distances(lines) < LINE_CLEAR_CM).sum()),
            -int(tiling.covers(drawn).sum()),
        ),
    )


def _tiling(points_cm: Vector, left: float, far: float, form: Format) -> Tiling:
    """Return the pages that hold points, named from A1 on."""
    grid = Tiling(left, far, form, ())
    columns, rows = grid.cells_of(points_cm).T
    column, row = int(columns.min()), int(rows.min())
    used = np.zeros((columns.max() - column + 1, rows.max() - row + 1), bool)
    used[columns - column, rows - row] = True
    corner = grid.area((column, row))
    return Tiling(corner.left, corner.top, form, tuple((c, r) for c, r in np.argwhere(used).tolist()))


def _hangs_together(cells: Sequence[Cell]) -> bool:
    """Return whether every page shares an edge with another, as one mat."""
    left = set(cells)
    reached = [left.pop()]
    while reached:
        column, row = reached.pop()
        beside = {(column + 1, row), (column - 1, row), (column, row + 1), (column, row - 1)} & left
        left -= beside
        reached += beside
    return not left
