"""The torso of a figure and a bust, in half heights of a head about its centre (a man of 7.5 heads)."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.primitives import reach
from scenes.builtin.shapes.solids import Field, common, ellipsoid, round_cone, union
from scenes.builtin.shapes.sweeps import Mesh, loft, outward

_TRUNK = [
    ((0, 0.14, -2.95), (1.28, 0.88, 1.4)),
    ((0, 0.12, -4.4), (1.1, 0.76, 1.3)),
    ((0, 0.12, -5.6), (1.3, 0.9, 1.2)),
    ((0, 0.12, -8.2), (1.62, 1.3, 2.9)),
]
_CHEST = [(0.6, -0.38, -2.72, 0.62, 0.4, 0.5)]


def wrapped(
    field: Field, levels: Array, relief: Field | None = None, depth: float = 0.14, turn: Array | None = None
) -> Mesh:
    """Return the surface of a solid as seen from a vertical axis, level by level, displaced outward by `relief`."""
    turn = 2 * np.pi * np.arange(72)[None] / 72 if turn is None else turn
    ways = np.stack(np.broadcast_arrays(np.sin(turn), -np.cos(turn), 0 * levels[:, None]), axis=-1)
    starts = np.stack([0 * levels, 0 * levels + depth, levels], axis=1)[:, None]
    far = reach(field, starts, ways, 3.0)
    if relief is not None:
        far = np.maximum(far + relief(starts + ways * far[..., None]), 0.02)
    return outward(loft(starts + ways * far[..., None]))


def _yoke(points: Array) -> Array:
    """Return the distance from neck root, shoulders and chest."""
    near = np.abs(points) * (1, 0, 0) + points * (0, 1, 1)
    parts = [
        ellipsoid(points, *_TRUNK[0]),
        *(ellipsoid(near, row[:3], row[3:]) for row in _CHEST),
        round_cone(near, (0, 0.2, -2.15), (1.42, 0.24, -2.4), (0.46, 0.44)),
        round_cone(near, (0, 0.24, -1.12), (1.3, 0.28, -2.16), (0.5, 0.27)),
    ]
    return union(parts, 0.35)


def trunk(points: Array) -> Array:
    """Return the distance from the trunk, from the neck to the skirt of a coat."""
    return union([_yoke(points), *(ellipsoid(points, *shape) for shape in _TRUNK[1:])], 0.4)


def shoulders(points: Array) -> Array:
    """Return the distance from shoulders and upper arms, rounded off below as a bust is."""
    near = np.abs(points) * (1, 0, 0) + points * (0, 1, 1)
    arm = round_cone(near, (1.5, 0.25, -2.5), (1.58, 0.3, -3.9), (0.47, 0.45))
    whole = union([_yoke(points), arm, ellipsoid(points, (0, 0.2, -3.1), (1.6, 0.6, 1.6))], 0.4)
    return common(whole, ellipsoid(points, (0, 0.12, -2.1), (2.15, 1.3, 1.95)), 0.12)
