"""The subject's silhouette on a grid over the frame: what it hides, and where the sheet shows round it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt, minimum_filter

from materials.arrays import Vector
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.subject import Subject

CELLS = 96
"""Along each side of the frame."""
POINTS = 200_000
"""On the subject's surface: so many that a cell without one is a gap."""


@dataclass(frozen=True, eq=False)
class Silhouette:
    """Cells of the frame, row 0 at the bottom.

    Parameters
    ----------
    view
        The camera.
    covered : (CELLS, CELLS)
        Whether the subject covers a cell.
    depth_cm : (CELLS, CELLS)
        Depth of its nearest point in a covered cell; infinite in a free one.
    inside : (CELLS, CELLS)
        Distance from the outline as the tangent of an angle at the lens, negative outside.
    """

    view: Viewpoint
    covered: NDArray[np.bool_]
    depth_cm: Vector
    inside: Vector

    def cover_cm(self, points_cm: Vector) -> Vector:
        """Return how far (n,) points (n, 3) lie inside the silhouette and behind the subject, cm; negative: in sight.

        What lies outside the frame is not covered.
        """
        x, y, depth = self.view.project(points_cm).T
        known = np.isfinite(x) & (np.abs(x) < 1) & (np.abs(y) < 1)
        row, column = _cells(np.where(known, y, 0.0)), _cells(np.where(known, x, 0.0))
        within = self.inside[row, column] * depth
        behind = np.where(within > 0, depth - self.depth_cm[row, column], within)
        return np.where(known, np.minimum(within, behind), -np.inf)

    def free_rays(self) -> Vector:
        """Return the directions (n, 3) of the sight through all free cells."""
        y, x = (2 * (np.argwhere(~self.covered) + 0.5) / CELLS - 1).T
        return self.view.rays(x, y)


def silhouette_of(subject: Subject, view: Viewpoint) -> Silhouette:
    """Return the silhouette of a subject."""
    x, y, depth = view.project(subject.surface_points(POINTS)).T
    grid = np.full((CELLS, CELLS), np.inf)
    np.minimum.at(grid, (_cells(y), _cells(x)), depth)
    covered = np.isfinite(grid)
    nearest = np.where(covered, minimum_filter(grid, 3), np.inf)
    high = 2 * view.tan_half_height / CELLS
    cell = (high, high * view.aspect)
    within = distance_transform_edt(covered, cell) - 1.5 * high  # a cell at the outline is covered in part
    beside = distance_transform_edt(~covered, cell) - 0.5 * high
    return Silhouette(view, covered, nearest, np.where(covered, within, -beside))


def _cells(along: Vector) -> NDArray[np.intp]:
    return np.clip(((along + 1) / 2 * CELLS).astype(np.intp), 0, CELLS - 1)
