"""Where the number of each part stands on a picture: on the part, or beside the model with a line to it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt, find_objects

RADIUS_PX: Final = 13
"""Of the disc that holds a number."""
PITCH_PX: Final = 2 * RADIUS_PX + 3
"""Between the numbers of a column beside the model."""
FEWEST_PIXELS: Final = 6
"""Of a part that is worth a line."""


class Spot(NamedTuple):
    """The point that lies farthest inside what is seen of a part, how far from its edge, and the area; in pixels."""

    part: int
    x: float
    y: float
    inside: float
    pixels: int


class Label(NamedTuple):
    """Where a part's number stands, and the point of the part that it names: the same where the part has room."""

    part: int
    at: tuple[float, float]
    anchor: tuple[float, float]


def spots(indices: NDArray[np.int32]) -> dict[int, Spot]:
    """Return the spot of each part that is seen in a picture of part indices, (height, width)."""
    found = {}
    for part, box in enumerate(find_objects(indices + 1)):
        if box is None:
            continue
        seen = np.pad(indices[box] == part, 1)
        distance = distance_transform_edt(seen)
        y, x = np.unravel_index(int(distance.argmax()), distance.shape)
        rows, columns = box
        found[part] = Spot(part, columns.start + x - 0.5, rows.start + y - 0.5, float(distance.max()), int(seen.sum()))
    return found


def place_labels(found: Sequence[Spot], width: int, height: int) -> list[Label]:
    """Return the labels of spots, on a picture of that size, no two of them overlapping.

    A number stands on its part where there is room, else in a column at the left or the right edge, level with its part
    as far as may be. What finds no room there has none, the smallest first.
    """
    on_part = [Label(spot.part, (spot.x, spot.y), (spot.x, spot.y)) for spot in found if spot.inside >= RADIUS_PX]
    beside = [spot for spot in found if spot.inside < RADIUS_PX and spot.pixels >= FEWEST_PIXELS]
    room = height // PITCH_PX
    columns: tuple[list[Spot], list[Spot]] = ([], [])
    middle = float(np.mean([spot.x for spot in found])) if found else 0.0
    for spot in sorted(beside, key=lambda spot: -spot.pixels):
        near, far = columns if spot.x < middle else columns[::-1]
        column = near if len(near) < room else far
        if len(column) < room:
            column.append(spot)
    left, right = RADIUS_PX + 1.0, width - RADIUS_PX - 1.0
    return [*on_part, *_column(columns[0], left, height), *_column(columns[1], right, height)]


def _column(column: Sequence[Spot], x: float, height: int) -> list[Label]:
    """Return the labels of a column from top to bottom, each as level with its spot as the others let it."""
    ordered = sorted(column, key=lambda spot: spot.y)
    levels = _spread(np.array([spot.y for spot in ordered]), RADIUS_PX + 1.0, height - RADIUS_PX - 1.0)
    return [Label(spot.part, (x, y), (spot.x, spot.y)) for spot, y in zip(ordered, levels, strict=True)]


def _spread(wanted: NDArray[np.float64], low: float, high: float) -> list[float]:
    """Return ascending levels at least a pitch apart, between two bounds, near those wanted."""
    levels: list[float] = []
    for y in wanted:
        levels.append(max(float(y), low, levels[-1] + PITCH_PX if levels else low))
    limit = high
    for i in reversed(range(len(levels))):
        levels[i] = min(levels[i], limit)
        limit = levels[i] - PITCH_PX
    return levels
