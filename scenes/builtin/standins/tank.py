"""A tracked tank with a turret, its gun to -y."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.primitives import across, ball, box, limb, mirrored, oval, rod, slab, through, turned, wheel
from scenes.builtin.shapes.sweeps import Mesh, circle, joined, loft, outward, placed, prism, rounded

_RUN = [(-5.3, 0.0), (5.3, 0.0), (7.55, 1.35), (7.75, 2.0), (7.1, 2.62), (-7.1, 2.62), (-7.75, 2.0), (-7.55, 1.35)]
"""Where the track runs, (y, z)."""
_TURRET = [
    (3.7, 2.3, 2.75, 0.1),
    (4.0, 2.5, 3.0, 0.15),
    (4.7, 2.35, 2.9, 0.25),
    (5.2, 1.95, 2.4, 0.35),
    (5.45, 1.35, 1.75, 0.4),
]
"""(z, half width, half depth, place of the middle in depth)."""
_OUT = 3.4


def tank() -> dict[str, Mesh]:
    """Return the tank, 18 cm long with its gun."""
    places = [(y, 1.12, 0.95) for y in np.linspace(-5.2, 5.2, 6)]
    ends = [(-6.85, 1.82, 0.72), (6.85, 1.82, 0.72)]
    wheels = [wheel((s * _OUT, y, z), radius, 1.0, 28) for s in (-1, 1) for y, z, radius in places + ends]
    rollers = [
        rod((s * (_OUT - 0.4), y, 2.22), (s * (_OUT + 0.4), y, 2.22), (0.26, 0.26))
        for s in (-1, 1)
        for y in (-3.2, 0.0, 3.2)
    ]
    low = [(-6.9, 2.2), (-7.0, 1.8), (-6.2, 0.75), (6.2, 0.75), (7.2, 2.2), (7.0, 3.5), (-5.3, 3.5)]
    high = [(-6.7, 2.9), (-5.2, 3.75), (5.0, 3.75), (7.1, 3.35), (7.1, 2.9)]
    guards = [
        (-8.0, 2.45),
        (-7.5, 2.85),
        (7.5, 2.85),
        (8.0, 2.5),
        (8.0, 2.6),
        (7.55, 2.96),
        (-7.55, 2.96),
        (-8.0, 2.58),
    ]
    cupola = [(0, 0), (0.85, 0), (0.85, 0.45), (0.72, 0.55), (0.6, 0.55), (0.5, 0.65), (0, 0.68)]
    hatch = [(0, 0), (0.68, 0), (0.68, 0.16), (0.6, 0.22), (0, 0.25)]
    return {
        "hull": joined(
            [
                across(low, 5.4),
                across(high, 8.0),
                across(guards, 1.6, -_OUT, 0.05),
                across(guards, 1.6, _OUT, 0.05),
                slab(circle(0.7, 32), 0.12, (-1.3, -5.2, 3.7), (0, 0, 1), (1, 0, 0)),
                slab(circle(0.7, 32), 0.12, (1.3, -5.2, 3.7), (0, 0, 1), (1, 0, 0)),
                *(box((4.4, 0.35, 0.12), (0, y, 3.72), 0.04) for y in (3.8, 4.4, 5.0)),
            ]
        ),
        "turret": joined(
            [
                _turret(),
                turned(cupola, (0.95, 0.9, 5.25), (0, 0, 1), 40),
                turned(hatch, (-0.85, 0.6, 5.35), (0, 0, 1), 40),
                ball((0, -2.55, 4.5), (0.95, 0.75, 0.62)),
                box((3.0, 1.1, 0.75), (0, 3.2, 4.1), 0.12),
            ]
        ),
        "barrel": joined(
            [
                limb([(0, -2.9, 4.5), (0, -4.6, 4.56)], [0.46, 0.42], 0.0, 24, 36),
                rod((0, -4.4, 4.55), (0, -9.4, 4.72), (0.34, 0.24), 40),
                turned(
                    [(0.15, 0), (0.36, 0), (0.4, 0.15), (0.4, 0.75), (0.34, 0.9), (0.17, 0.9)],
                    (0, -9.3, 4.72),
                    (0, -1, 0.034),
                    40,
                ),
            ]
        ),
        "tracks": joined(mirrored(_track)),
        "wheels": joined([part[1] for part in wheels] + rollers),
        "tyres": joined(part[0] for part in wheels),
        "stowage": joined(
            [
                box((1.1, 2.4, 0.75), (3.4, 4.2, 2.9), 0.12),
                box((1.1, 1.8, 0.6), (-3.4, 4.8, 2.9), 0.12),
                box((1.0, 1.5, 0.5), (-3.4, -3.4, 2.9), 0.1),
                limb(
                    [(-1.2, 4.05, 4.5), (0, 4.05, 4.52), (1.2, 4.05, 4.5)], [0.36, 0.4, 0.38, 0.4, 0.36], 0.03, 40, 24
                ),
            ]
        ),
        "tools": joined(
            [
                rod((-3.0, -1.8, 3.02), (-3.0, 1.6, 3.02), (0.07, 0.07), 12),
                box((0.5, 0.7, 0.08), (-3.0, 1.9, 2.97), 0.03),
                *map(_cable, (-1, 1)),
                rod((3.4, -2.6, 3.0), (3.4, 1.0, 3.0), (0.08, 0.08), 12),
                rod((-1.5, 2.0, 5.2), (-1.5, 2.1, 8.6), (0.05, 0.03), 10),
            ]
        ),
        "head lamps": joined(
            turned([(0, 0), (0.14, 0.02), (0.26, 0.16), (0.27, 0.34), (0, 0.38)], (s * 2.6, -6.2, 3.4), (0, -1, 0), 28)
            for s in (-1, 1)
        ),
    }


def _turret() -> Mesh:
    levels = np.linspace(3.7, 5.45, 24)
    ring = oval(64, 2.5)
    rings = [
        np.column_stack([wide * ring[:, 0], deep * ring[:, 1] + middle, np.full(64, z)])
        for z, (wide, deep, middle) in zip(levels, through(_TURRET, levels), strict=True)
    ]
    return outward(loft(np.stack(rings)))


def _even(outline: Array, count: int) -> tuple[Array, Array]:
    """Return points and unit tangents evenly along a closed outline of (y, z)."""
    closed = np.concatenate([outline, outline[:1]])
    length = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    at = length[-1] * np.arange(count) / count
    points = np.stack([np.interp(at, length, closed[:, i]) for i in range(2)], axis=1)
    tangents = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    return points, tangents / np.linalg.norm(tangents, axis=1, keepdims=True)


def _track(side: int) -> Mesh:
    """Return a track of links on a thin band."""
    points, tangents = _even(rounded(_RUN, 0.8, loop=True, steps=8), 84)
    pad = prism(np.array([(-0.68, -0.17), (0.68, -0.17), (0.68, 0.17), (-0.68, 0.17)]), 0.14, 0.03)
    tooth = prism(np.array([(-0.1, -0.1), (0.1, -0.1), (0.1, 0.1), (-0.1, 0.1)]), 0.2, 0.04)
    links = []
    for (y, z), (along, rise) in zip(points, tangents, strict=True):
        inward = np.array([0, -rise, along])
        at = np.array([side * _OUT, y, z])
        links.append(outward(placed(pad, at, inward, (1, 0, 0))))
        links.append(outward(placed(tooth, at + 0.1 * inward, inward, (1, 0, 0))))
    band = [
        [
            (side * _OUT + x, y - d * rise, z + d * along)
            for x, d in ((-0.6, 0.06), (0.6, 0.06), (0.6, 0.12), (-0.6, 0.12))
        ]
        for (y, z), (along, rise) in zip(points, tangents, strict=True)
    ]
    return joined([*links, outward(loft(np.array(band), loop=True))])


def _cable(side: int) -> Mesh:
    """Return a tow cable along the hull's edge."""
    return limb(
        [(side * 2.0, -4.2, 3.8), (side * 2.5, -1.0, 3.82), (side * 2.75, 2.0, 3.82), (side * 2.4, 4.6, 3.8)],
        [0.07, 0.07],
        0.0,
        40,
        10,
    )
