"""A saloon car, its bonnet to -y."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.primitives import ball, box, limb, mirrored, oval, rod, through, wheel
from scenes.builtin.shapes.sweeps import Mesh, joined, loft, outward

from .car_lamps import car_lamps

_BODY = [
    (-9.0, 2.75, 2.6, 1.35),
    (-8.85, 3.05, 2.95, 1.2),
    (-8.2, 3.4, 3.2, 1.05),
    (-6.0, 3.62, 3.42, 0.95),
    (-3.6, 3.68, 3.6, 0.9),
    (0.0, 3.7, 3.66, 0.9),
    (4.0, 3.68, 3.66, 0.9),
    (6.5, 3.55, 3.5, 0.95),
    (8.3, 3.3, 3.3, 1.1),
    (8.85, 3.0, 3.05, 1.25),
    (9.0, 2.7, 2.7, 1.4),
]
"""(y, half width, height of the top at the middle, height of the sill)."""
_CABIN = [
    (3.3, 3.2, -3.9, 6.4),
    (3.62, 3.12, -3.5, 6.0),
    (4.6, 2.75, -1.9, 4.9),
    (5.2, 2.5, -0.9, 4.1),
    (5.42, 2.38, -0.5, 3.75),
]
_ROOF = [(5.38, 2.42, -0.6, 3.85), (5.5, 2.4, -0.5, 3.75), (5.62, 2.1, 0.0, 3.2), (5.7, 1.4, 0.7, 2.4)]
"""(z, half width, front, back)."""
_AXLES, _RADIUS, _ARCH = (-5.5, 5.3), 1.3, 1.52


def car() -> dict[str, Mesh]:
    """Return the car, 18 cm long."""
    wheels = [wheel((s * 3.02, y, _RADIUS), _RADIUS, 1.05, 56) for s in (-1, 1) for y in _AXLES]
    return {
        "body": joined(
            [
                _body(),
                _cabin(_ROOF, 2.6),
                *_pillars(),
                *mirrored(lambda s: ball((s * 3.45, -2.7, 3.85), (0.4, 0.22, 0.25), 14)),
            ]
        ),
        "windows": _cabin(_CABIN, 3.4),
        "underbody": joined(
            [
                box((4.3, 16.4, 1.6), (0, 0, 0.85), 0.2),
                *(rod((-2.9, y, _RADIUS), (2.9, y, _RADIUS), (0.25, 0.25)) for y in _AXLES),
            ]
        ),
        **car_lamps(),
        "grille": box((3.0, 0.16, 0.74), (0, -8.98, 1.74), 0.05),
        "plates": joined(
            [box((1.3, 0.05, 0.34), (0, -9.49, 1.23), 0.02), box((1.3, 0.05, 0.34), (0, 9.02, 1.8), 0.02)]
        ),
        "gaps": joined(_gaps()),
        "bumpers": joined(
            limb(
                [
                    (-3.3, -s * 8.35, 1.4),
                    (-2.6, -s * 9.05, 1.4),
                    (0, -s * 9.2, 1.4),
                    (2.6, -s * 9.05, 1.4),
                    (3.3, -s * 8.35, 1.4),
                ],
                [0.26, 0.28, 0.26],
                0.0,
                48,
                20,
            )
            for s in (-1, 1)
        ),
        "trim": joined(
            [
                *mirrored(
                    lambda s: limb(
                        [(s * 3.66, -3.6, 2.55), (s * 3.7, 0.0, 2.58), (s * 3.68, 3.4, 2.55)], [0.07, 0.07], 0.0, 30, 10
                    )
                ),
                *(box((0.1, 0.55, 0.12), (s * 3.66, y, 2.95), 0.03) for s in (-1, 1) for y in (-0.05, 3.0)),
                *(box((3.0, 0.06, 0.06), (0, -9.07, z), 0.02) for z in (1.78, 1.94, 2.1, 2.26, 2.42)),
            ]
        ),
        "tyres": joined(part[0] for part in wheels),
        "hubs": joined(part[1] for part in wheels),
    }


def _body() -> Mesh:
    """Return the body below its windows, hollowed over the wheels."""
    y = np.concatenate(
        [
            9 * np.sin(np.linspace(-np.pi / 2, np.pi / 2, 70)),
            *(at + _ARCH * np.cos(np.linspace(0.03, np.pi - 0.03, 34)) for at in _AXLES),
        ]
    )
    y = np.unique(np.round(y, 3))
    rise = np.linspace(0, 1, 20)
    rings = []
    for at, (half, top, sill) in zip(y, through(_BODY, y), strict=True):
        over = max(_ARCH**2 - min((at - axle) ** 2 for axle in _AXLES), 0.0)
        low = max(sill, _RADIUS + np.sqrt(over)) if over > 0 else sill
        shoulder = top - 0.32
        z = low + (shoulder - low) * rise
        side = np.column_stack([_flank(half, z), z])
        bend = np.linspace(0, np.pi / 2, 9)[1:]
        edge = side[-1] - (0.5, 0) + np.column_stack([0.5 * np.cos(bend), 0.2 * np.sin(bend)])
        share = np.linspace(0.8, 0.0, 5)
        lid = np.column_stack([edge[-1, 0] * share, _lid(share, top)])
        right = np.concatenate([side, edge, lid])
        both = np.concatenate([right, right[-2::-1] * (-1, 1)])
        rings.append(np.column_stack([both[:, 0], np.full(len(both), at), both[:, 1]]))
    return outward(loft(np.stack(rings)))


def _flank(half: float | Array, z: Array) -> Array:
    """Return how far out the flank is at heights, where the body is half as wide as said."""
    return np.asarray(half * (0.93 + 0.07 * np.sin(np.pi * np.clip((z - 0.6) / 3.6, 0, 1)) ** 0.7))


def _lid(share: Array, top: float | Array) -> Array:
    """Return how high bonnet and boot lid are at shares of the way from the middle to their edge."""
    return np.asarray(top - 0.12 + 0.12 * np.sin(np.interp(np.abs(share), (0.0, 0.8, 1.0), (np.pi / 2, 0.3, 0.0))))


def _gaps() -> list[Mesh]:
    """Return the gaps about doors, bonnet and boot lid, as dark beads let into the body."""
    up = np.linspace(1.12, 3.25, 16)
    lines = []
    for y, lean in ((-3.05, 0.0), (0.5, 0.0), (3.45, 0.12)):
        along = y + lean * (3.25 - up) ** 2 / 4.0
        half = through(_BODY, along)[:, 0]
        lines += [np.column_stack([s * _flank(half, up), along, up]) for s in (-1, 1)]
    out = np.linspace(-0.86, 0.86, 16)
    for y in (-4.15, 6.6):
        half, top, _ = through(_BODY, np.array([y]))[0]
        lines.append(np.column_stack([(0.96 * half - 0.5) * out, np.full(16, y), _lid(out, top)]))
    for first, last in ((-8.5, -4.15), (6.6, 8.5)):
        along = np.linspace(first, last, 16)
        half, top, _ = through(_BODY, along).T
        lid = _lid(np.full(16, 0.86), top)
        lines += [np.column_stack([s * 0.86 * (0.96 * half - 0.5), along, lid]) for s in (-1, 1)]
    return [limb([*line], [0.035, 0.035], 0.0, 24, 8) for line in lines]


def _ring(row: Array, z: float, corner: float) -> Array:
    wide, front, back = row
    ring = oval(72, 2 * corner)
    return np.column_stack([wide * ring[:, 0], (front + back) / 2 + (back - front) / 2 * ring[:, 1], np.full(72, z)])


def _cabin(table: Sequence[tuple[float, ...]], corner: float) -> Mesh:
    levels = np.linspace(table[0][0], table[-1][0], 16)
    return outward(
        loft(np.stack([_ring(row, z, corner) for z, row in zip(levels, through(table, levels), strict=True)]))
    )


def _pillars() -> list[Mesh]:
    """Return the posts between the windows, along the cabin's edges and its flank."""
    levels = np.linspace(3.35, 5.42, 12)
    rows = through(_CABIN, levels)
    rings = np.stack([_ring(row, z, 3.4) for z, row in zip(levels, rows, strict=True)])
    corners = [int(np.argmax(rings[6, :, 0] * sx + rings[6, :, 1] * sy * 0.7)) for sx in (-1, 1) for sy in (-1, 1)]
    posts = [limb([*rings[:, corner]], [0.17, 0.15], 0.0, 24, 14) for corner in corners]
    flank = [
        np.array([(s * (row[0] - 0.05), 1.5 - 0.1 * z, z) for row, z in zip(rows, levels, strict=True)])
        for s in (-1, 1)
    ]
    return [*posts, *(limb([*line], [0.15, 0.13], 0.0, 24, 14) for line in flank)]
