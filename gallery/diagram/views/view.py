"""A view on the page: lines and outlines of the table drawn to scale, and where lines run, for labels to stay clear."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import ArrayLike

from gallery.paper.box import Box
from materials.arrays import Vector

from .outline import Outline
from .projection import Projection

if TYPE_CHECKING:
    from matplotlib.axes import Axes

THICK, MIDDLE, THIN = 1.6, 0.9, 0.6
"""Widths of lines, points."""
CENTRE_LINE: Final = (0, (14, 3, 2, 3))
DASHED: Final = (0, (5, 3))
DOTTED: Final = (0, (1.5, 1.5))


@dataclass(eq=False)
class View:
    """One view of the table on a page, 1 to `scale`.

    Parameters
    ----------
    corner_cm
        Of the page, where the lower left corner of `extent` lies.
    extent
        What is drawn, cm of the table.
    lines
        The straight lines drawn so far, each (2, 2) cm of the page.
    anchors
        The points that labels name, each (2,) cm of the page.
    """

    axes: Axes
    projection: Projection
    scale: float
    corner_cm: tuple[float, float]
    extent: Box
    lines: list[Vector] = field(default_factory=list)
    anchors: list[Vector] = field(default_factory=list)

    @property
    def frame(self) -> Box:
        """The rectangle of the page that the view takes, cm."""
        left, bottom = self.corner_cm
        return Box(left, bottom, left + self.extent.width / self.scale, bottom + self.extent.height / self.scale)

    def on_page(self, points_cm: ArrayLike) -> Vector:
        """Return points (n, 3) of the table on the page, (n, 2) cm."""
        return self._placed(self.projection.flat(points_cm))

    @property
    def centre(self) -> Vector:
        """Where the centre mark lies in the drawing, (2,) cm of the table."""
        return np.asarray(self.projection.flat([0.0, 0.0, 0.0])[0])

    def at_flat(self, across_cm: float, up_cm: float) -> Vector:
        """Return a point of the drawing, in cm of the table, on the page, (2,) cm."""
        return self._placed(np.array([across_cm, up_cm]))

    def line(self, start_cm: ArrayLike, end_cm: ArrayLike, width: float = THIN, **style: Any) -> None:
        """Draw a straight line of the table from point to point (3,)."""
        for piece in self.pieces(start_cm, end_cm):
            self.page_line(piece, width, **style)

    def pieces(self, start_cm: ArrayLike, end_cm: ArrayLike) -> list[Vector]:
        """Return the parts of a straight line of the table that are drawn, each (2, 2) cm of the page."""
        return [self._placed(piece) for piece in self.projection.pieces(start_cm, end_cm)]

    def page_line(self, points: ArrayLike, width: float = THIN, **style: Any) -> None:
        """Draw a line through points (n, 2) of the page, cm."""
        drawn = np.asarray(points, dtype=float)
        style = {"color": "black", "linewidth": width, "solid_capstyle": "butt", **style}
        self.axes.plot(drawn[:, 0], drawn[:, 1], **style)
        self.lines += [drawn[i : i + 2] for i in range(len(drawn) - 1)]

    def closed(self, points_cm: Vector, width: float, **style: Any) -> None:
        """Draw a closed outline (n, 3) of the table, empty unless `hatch` says otherwise."""
        from matplotlib.patches import Polygon

        drawn = self.on_page(points_cm)
        style = {"fill": False, "edgecolor": "black", "linewidth": width, "joinstyle": "miter"} | style
        self.axes.add_patch(Polygon(drawn, closed=True, **style))
        self.lines += [np.array([a, b]) for a, b in zip(drawn, np.roll(drawn, -1, axis=0), strict=True)]

    def outline(self, outline: Outline) -> None:
        """Draw the outline of the model, hatched."""
        x = self._placed(np.column_stack([outline.across, np.zeros_like(outline.across)]))[:, 0]
        y = self._placed(np.column_stack([np.zeros_like(outline.up), outline.up]))[:, 1]
        self.axes.contourf(x, y, outline.covered, [0.5, 2.0], colors="none", hatches=["////"])
        drawn = self.axes.contour(x, y, outline.covered, [0.5], colors="black", linewidths=MIDDLE)
        for ring in (np.asarray(ring) for path in drawn.get_paths() for ring in path.to_polygons()):
            self.lines += [ring[i : i + 2] for i in range(len(ring) - 1)]

    def arrow(self, start: Vector, end: Vector, width: float = MIDDLE) -> None:
        """Draw an arrow between two points (2,) of the page, cm."""
        head = {"arrowstyle": "-|>,head_width=0.16,head_length=0.4", "shrinkA": 0.0, "shrinkB": 0.0}
        style = {**head, "color": "black", "linewidth": width}
        self.axes.annotate("", (end[0], end[1]), (start[0], start[1]), arrowprops=style)

    def _placed(self, flat: Vector) -> Vector:
        return np.asarray(self.corner_cm + (flat - (self.extent.left, self.extent.bottom)) / self.scale)
