"""Where a part is on the model, in words: its height, and the side as the camera sees the model from its front."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from materials.arrays import Vector
from scenes.mesh.triangles import bounds

from .kind import SubjectKind
from .subject import Part, Subject

BODY: Final = (("foot", 0.1), ("knee", 0.4), ("waist", 0.65), ("chest", 0.82), ("head", 1.0))
"""Bands of a figure's height and where each ends: between ankle .04, knee .285, hip .53, shoulder .82, chin .87.

Drillis and Contini 1966, "Body segment parameters", from memory; the ends between them are chosen.
"""
THIRDS: Final = (("low", 1 / 3), ("middle", 2 / 3), ("top", 1.0))
"""Bands of the height of every other kind, and of what is wider or longer than tall."""
MARGIN: Final = 0.1
"""Of a part's height, at either end, that no band is named for."""
ASIDE: Final = 0.25
"""Of the model's half extent, from which the middle of a part lies to one side."""
SIDES: Final = (("camera left", "camera right"), ("front", "back"))
"""Along x and along y, of a model that faces the camera."""


def whereabouts(model: Subject, part: Part, kind: SubjectKind) -> str:
    """Return where a part is on the model: `head height, camera left`, `low to middle, front`.

    `model` is not turned: its front looks at the camera, from where left and right count. No side is named of a part
    in the middle or across it; a part that lies on one side of the middle altogether is on that side however near.
    """
    if all(part is not other for other in model.model_parts):
        return "under the model"
    low, high = model.model_bounds_cm
    extent = np.maximum(high - low, 1e-9)
    ends: Vector = (bounds([part.vertices_cm]) - low) / extent
    is_body = kind == "figure" and extent[2] >= extent.max()
    return ", ".join([_height_words(ends[:, 2], is_body), *_sides(2 * ends[:, :2] - 1)])


def _height_words(ends: Vector, is_body: bool) -> str:
    """Return the bands between two heights, as shares of the model's."""
    bands, unit = (BODY, " height") if is_body else (THIRDS, "")
    inset = MARGIN * (ends[1] - ends[0])
    first, last = _band(ends[0] + inset, bands), _band(ends[1] - inset, bands)
    if first == last:
        return first + unit
    return "full height" if (first, last) == (bands[0][0], bands[-1][0]) else f"{first} to {last}{unit}"


def _band(height: float, bands: Sequence[tuple[str, float]]) -> str:
    return next((name for name, end in bands if height <= end), bands[-1][0])


def _sides(ends: Vector) -> list[str]:
    """Return the side along x and along y of a box, its ends (2, 2) as shares of the model's half extents."""
    found = []
    for (low, high), names in zip(ends.T, SIDES, strict=True):
        middle = (low + high) / 2
        if low > 0 or high < 0 or abs(middle) >= ASIDE:
            found.append(names[int(middle > 0)])
    return found
