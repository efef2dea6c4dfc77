"""The model from above: where it touches the table, and the outline of all of it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import Final

import numpy as np
from numpy.typing import NDArray

from gallery.diagram.views.outline import Outline, covering_points, outline_of_points
from materials.arrays import Vector
from scenes.subject.subject import Part, Subject

CELLS: Final = 400
"""Along the longer side of a model."""
TOUCHES_CM: Final = 0.2
"""What is no higher over the table than this touches it: soles, wheels, the edge of a base."""
TOUCHING_SHARE: Final = 0.03
"""Of the height of a small model, in place of that."""
SMOOTHING: Final = 3.0
"""Of outlines, in points: they follow the cells of a grid."""
SPECK: Final = 0.02
"""Of the area of the largest patch that touches the table, what is left out."""
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
    low, high = subject.bounds_cm.astype(float)
    cell = float((high - low)[:2].max()) / CELLS or 1.0
    touches_cm = low[2] + min(TOUCHES_CM, TOUCHING_SHARE * subject.height_cm)
    above = (covering_points(part.vertices_cm[:, :2], part.faces, cell) for part in subject.parts)
    low_faces = (covering_points(part.vertices_cm, _low(part, touches_cm), cell) for part in subject.parts)
    touching = (points[points[:, 2] <= touches_cm, :2] for points in chain.from_iterable(low_faces))
    return Footprint(
        _without_specks(_outlines(outline_of_points(touching, low[:2], high[:2], cell))),
        _outlines(outline_of_points(chain.from_iterable(above), low[:2], high[:2], cell)),
    )


def _low(part: Part, below_cm: float) -> NDArray[np.int32]:
    """Return the faces of a part that reach below a height."""
    reaches: NDArray[np.bool_] = part.vertices_cm[:, 2][part.faces].min(axis=1) <= below_cm
    return np.asarray(part.faces[reaches])


def _outlines(outline: Outline) -> tuple[Vector, ...]:
    """Return an outline as closed lines (n, 2), holes among them, cm."""
    from contourpy import contour_generator
    from scipy.ndimage import gaussian_filter1d

    lines = contour_generator(outline.across, outline.up, outline.covered).lines(0.5)
    smooth = (gaussian_filter1d(np.asarray(line)[:-1], SMOOTHING, axis=0, mode="wrap") for line in lines)
    return tuple(np.vstack([line, line[:1]]) for line in smooth)


def _without_specks(outlines: tuple[Vector, ...]) -> tuple[Vector, ...]:
    """Return outlines but for those that are small beside the largest."""
    areas = [_area((outline,)) for outline in outlines]
    return tuple(outline for outline, area in zip(outlines, areas, strict=True) if area >= SPECK * max(areas))


def _area(outlines: tuple[Vector, ...]) -> float:
    """Return the area inside outlines, cm2: those of holes turn the other way."""
    return abs(sum(float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) for x, y in (line.T for line in outlines))) / 2
