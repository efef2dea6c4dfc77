"""A head with the relief that portrait lighting is judged by: brow, sockets, nose, cheeks, lips, chin, ears, hair.

In half heights of a head about its middle, looking to -y; proportions as drawing books have them, no source.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array
from scenes.builtin.shapes.primitives import ball, directions, limb, reach, through
from scenes.builtin.shapes.solids import cut, ellipsoid, round_cone, step, union
from scenes.builtin.shapes.sweeps import Mesh, joined, loft, outward

_SKULL = [
    ((0, 0.12, 0.26), (0.7, 0.85, 0.74)),
    ((0, -0.2, -0.18), (0.54, 0.55, 0.76)),
    ((0, -0.26, -0.57), (0.41, 0.5, 0.4)),
]
_FLESH = [
    (0.39, -0.5, -0.1, 0.2, 0.19, 0.15),
    (0.0, -0.58, -0.52, 0.25, 0.17, 0.2),
    (0.0, -0.7, -0.86, 0.18, 0.13, 0.13),
    (0.35, -0.26, -0.58, 0.13, 0.2, 0.2),
]
_LIPS = [((0.0, -0.735, -0.497), (0.24, 0.125, 0.045)), ((0.0, -0.735, -0.59), (0.2, 0.125, 0.055))]
_HAIRLINE = [
    (0.0, 0.66),
    (0.45, 0.64),
    (0.75, 0.5),
    (1.05, 0.42),
    (1.25, 0.0),
    (1.42, -0.12),
    (1.55, 0.26),
    (1.8, 0.3),
    (2.05, -0.15),
    (2.5, -0.42),
    (3.2, -0.48),
]
EYES = (0.265, -0.555, 0.05, 0.145)
"""How far out, deep and high the eyeballs are, and their radius."""


def head(centre: ArrayLike, half_cm: float, rows: int) -> dict[str, Mesh]:
    """Return face, eyes, lips, ears and hair of a head of that half height about a place."""
    ways = directions(rows, int(1.4 * rows), 0.5)
    skin = reach(_face, np.zeros(3), ways, 1.5)
    out, deep, high, radius = EYES
    sides = (-1, 1)
    parts = {
        "face": _closed(ways * skin[..., None]),
        "eyes": joined(ball((s * out, deep, high), [radius] * 3, 14) for s in sides),
        "irises": joined(ball((s * out, deep - 0.88 * radius, high), (0.062, 0.024, 0.062), 8) for s in sides),
        "lips": joined(ball(at, np.add(semi, (0.006, 0.014, 0.008)), 10) for at, semi in _LIPS),
        "ears": joined(_ear(s) for s in sides),
        "hair": _closed((ways * (skin + _hair(ways, skin))[..., None])[::2]),
    }
    return {name: Mesh(mesh.vertices * half_cm + np.asarray(centre), mesh.faces) for name, mesh in parts.items()}


def _closed(grid: Array) -> Mesh:
    return outward(loft(grid))


def _face(points: Array) -> Array:
    """Return the distance from the skin; both halves are one, so x counts as its size."""
    near = np.abs(points) * (1, 0, 0) + points * (0, 1, 1)
    skull = union([ellipsoid(points, *shape) for shape in _SKULL], 0.3)
    skin = union([skull, *(ellipsoid(near, row[:3], row[3:]) for row in _FLESH)], 0.16)
    brow = round_cone(near, (0.0, -0.72, 0.25), (0.42, -0.52, 0.24), (0.075, 0.06))
    skin = union([skin, brow], 0.14)
    skin = cut(skin, ellipsoid(near, (0.27, -0.83, 0.06), (0.17, 0.17, 0.11)), 0.12)
    nose = union(
        [
            round_cone(near, (0.0, -0.7, 0.17), (0.0, -0.94, -0.26), (0.055, 0.095)),
            ellipsoid(near, (0.105, -0.82, -0.28), (0.07, 0.1, 0.07)),
        ],
        0.06,
    )
    skin = union([skin, nose], 0.09)
    out, deep, high, radius = EYES
    lids = ellipsoid(near, (out, deep, high), [radius + 0.022] * 3)
    slit = ellipsoid(near, (out, deep - 0.16, high - 0.012), (0.125, 0.16, 0.056))
    skin = cut(union([skin, lids], 0.05), slit, 0.012)
    return union([skin, *(ellipsoid(near, *lip) for lip in _LIPS)], 0.03)


def _hair(ways: Array, skin: Array) -> Array:
    """Return how far the hair is above the skin, below 0 where there is none."""
    turn = np.abs(np.arctan2(ways[..., 0], -ways[..., 1]))
    line = through(_HAIRLINE, turn.ravel())[:, 0].reshape(turn.shape)
    above = ways[..., 2] * skin - line
    x, y, z = np.moveaxis(ways, -1, 0)
    lock = np.sin(34 * np.arctan2(x + 0.12, y - 0.3) + 3 * np.sin(5 * z)) * step(np.hypot(x + 0.12, y - 0.3), 0.1, 0.5)
    parting = np.exp(-(((x + 0.3) / 0.035) ** 2)) * step(z, 0.3, 0.6) * step(y, 0.3, 0.0)
    thick = 0.07 + 0.014 * lock + 0.1 * step(above, 0.0, 0.6) - 0.05 * parting
    return np.asarray(-0.06 + (0.06 + thick) * step(above, -0.05, 0.1))


def _ear(side: int) -> Mesh:
    def at(y: float, z: float, out: float) -> tuple[float, float, float]:
        return (side * (0.69 + out), 0.13 + y, -0.06 + z)

    rim = limb(
        [
            at(-0.06, 0.02, 0.02),
            at(-0.08, 0.17, 0.05),
            at(0.03, 0.26, 0.08),
            at(0.14, 0.18, 0.11),
            at(0.13, 0.0, 0.09),
            at(0.05, -0.14, 0.04),
            at(-0.03, -0.2, 0.01),
        ],
        [0.035, 0.04, 0.045, 0.04, 0.04, 0.055, 0.05],
        0.0,
        24,
        10,
    )
    return joined([ball(at(0.03, 0.03, 0.0), (0.055, 0.13, 0.22), 14), rim])
