"""The model from above: where it touches the table, and the outline of all of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from gallery.diagram.views.outline import outline_of_points
from materials.arrays import Vector
from scenes.subject.subject import Subject

POINTS: Final = 400_000
TOUCHES_CM: Final = 0.2
"""What is no higher over the table than this touches it: soles, wheels, the edge of a base."""
TOUCHING_SHARE: Final = 0.03
"""Of the height of a small model, in place of that."""
SMOOTHING: Final = 2.0
"""Of outlines, in points: they follow the cells of a grid."""
SAME_SHARE: Final = 0.95
"""Of the whole outline, that the touching one covers where the two are one."""


@dataclass(frozen=True, eq=False)
class Footprint:
    """Closed outlines, each (n, 2), cm: of what touches the table, and of all of the model from above."""

    touching: tuple[Vector, ...]
    above: tuple[Vector, ...]

    @property
    def is_one(self) -> bool:
        """Whether the model touches the table all over its outline, as one on a base does."""
        return _area(self.touching) > SAME_SHARE * _area(self.above)


def footprint_of(subject: Subject) -> Footprint:
    """Return the footprint of a model."""
    points = np.concatenate([subject.surface_points(POINTS), *(part.vertices_cm for part in subject.parts)])
    low = points[:, 2] - points[:, 2].min() <= min(TOUCHES_CM, TOUCHING_SHARE * subject.height_cm)
    return Footprint(_outlines(points[low, :2]), _outlines(points[:, :2]))


def _outlines(points_cm: Vector) -> tuple[Vector, ...]:
    """Return the closed outlines (n, 2) of what points (m, 2) lie all over, holes among them, cm."""
    from contourpy import contour_generator
    from scipy.ndimage import gaussian_filter1d

    grid = outline_of_points(points_cm)
    lines = contour_generator(grid.across, grid.up, grid.covered).lines(0.5)
    smooth = (gaussian_filter1d(np.asarray(line)[:-1], SMOOTHING, axis=0, mode="wrap") for line in lines)
    return tuple(np.vstack([line, line[:1]]) for line in smooth)


def _area(outlines: tuple[Vector, ...]) -> float:
    """Return the area inside outlines, cm2: those of holes turn the other way."""
    return abs(sum(float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) for x, y in (line.T for line in outlines))) / 2
