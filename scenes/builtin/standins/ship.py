"""A small freighter on a cradle, her bow to -y."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.primitives import ball, box, limb, mirrored, rod, slab, through, turned
from scenes.builtin.shapes.sweeps import Mesh, circle, joined, loft, outward

_LINES = [
    (-13.0, 0.03, 4.7, 0.02, 3.0),
    (-12.4, 0.3, 4.6, 0.06, 1.4),
    (-11.2, 0.9, 4.42, 0.4, 1.0),
    (-9.0, 1.55, 4.15, 1.1, 0.9),
    (-6.0, 1.88, 3.9, 1.75, 0.9),
    (0.0, 1.95, 3.75, 1.95, 0.9),
    (6.0, 1.95, 3.8, 1.9, 0.9),
    (9.0, 1.85, 3.95, 1.3, 0.9),
    (11.3, 1.6, 4.1, 0.5, 1.15),
    (12.4, 1.15, 4.2, 0.14, 2.3),
    (13.0, 0.5, 4.25, 0.05, 3.2),
]
"""(y, half width at the rail, height of the rail, half width at the waterline, height of the keel)."""
_WATER, _FLARE, _BULWARK = 2.2, 0.75, 0.42


def ship() -> dict[str, Mesh]:
    """Return a small freighter on a cradle, 26 cm long."""
    y = 13 * np.sin(np.linspace(-np.pi / 2, np.pi / 2, 90))
    lines = through(_LINES, y)
    stack = [(0, 0), (0.62, 0), (0.6, 2.2), (0.66, 2.25), (0.66, 2.4), (0.5, 2.4), (0.46, 2.0), (0, 2.0)]
    house = [
        ((3.4, 5.2, 1.25), (0, 6.6, 3.55)),
        ((2.9, 3.4, 1.05), (0, 6.0, 4.75)),
        ((2.5, 1.8, 0.95), (0, 5.3, 5.75)),
        ((3.3, 2.2, 0.12), (0, 5.3, 6.7)),
        ((3.5, 5.4, 0.1), (0, 6.6, 4.74)),
        ((1.3, 0.9, 0.6), (0, -11.0, 4.1)),
    ]
    trees = [((3.0, 0.4, 0.14), (0, -5.9, 9.0)), ((2.4, 0.34, 0.12), (0, 2.3, 8.2))]
    posts = [((0, -6.0), 11.2), ((0, 2.2), 10.2), ((0, 9.6), 7.6)]
    booms = [((s * 0.5, -6.0, 4.5), (s * 0.9, b, 6.8)) for s in (-1, 1) for b in (-9.6, -2.4)]
    booms += [((s * 0.5, 2.2, 4.3), (s * 0.8, -1.2, 6.4)) for s in (-1, 1)]
    ports = [(s * 1.66, at, 4.2) for s in (-1, 1) for at in (4.6, 5.4, 6.2, 7.0, 7.8, 8.6)]
    return {
        "hull": _shell(lines, y),
        "bottom": _bottom(lines, y),
        "deck": _deck(lines, y),
        "superstructure": joined(box(size, at, 0.05) for size, at in house),
        "windows": joined(
            [box((0.42, 0.06, 0.36), (x, 4.38, 6.15), 0.02) for x in (-0.95, -0.475, 0, 0.475, 0.95)]
            + [box((0.06, 0.45, 0.36), (s * 1.25, at, 6.15), 0.02) for s in (-1, 1) for at in (4.8, 5.5)]
            + [slab(circle(0.13, 20), 0.1, at, (np.sign(at[0]), 0, 0), (0, 1, 0)) for at in ports]
        ),
        "funnel": turned(stack, (0, 7.3, 5.6), (0, 0.1, 1), 64),
        "hatches": joined(box((2.2, 2.2, 0.45), (0, at, 3.55), 0.08) for at in (-8.4, -3.6, -0.6)),
        "masts": joined(
            [rod((x, at, 3.4), (x, at + 0.2, top), (0.15, 0.07)) for (x, at), top in posts]
            + [box(size, at, 0.04) for size, at in trees]
            + [limb([a, np.add(a, b) / 2, b], [0.07, 0.08, 0.05], 0.0, 16, 12) for a, b in booms]
        ),
        "boats": joined(ball((s * 1.75, at, 5.3), (0.34, 0.85, 0.32), 16) for s in (-1, 1) for at in (6.7, 8.3)),
        "davits": joined(
            limb(
                [(s * 1.5, at, 4.7), (s * 1.55, at, 5.9), (s * 1.75, at, 5.95), (s * 1.75, at, 5.4)],
                [0.05, 0.05],
                0.0,
                16,
                10,
            )
            for s in (-1, 1)
            for at in (6.2, 7.2, 7.8, 8.8)
        ),
        "rails": joined(mirrored(lambda side: _rail(lines, y, side))),
        "cradle": joined([box((1.0, 17.0, 0.4), (0, 0, 0.0), 0.1)] + [_rest(at) for at in (-6.0, 6.0)]),
    }


def _shell(lines: Array, y: Array) -> Mesh:
    """Return the hull from the waterline to the rail, hollow above the deck."""
    rise = np.linspace(0, 1, 12)
    rings = []
    for at, (half, rail, water, keel) in zip(y, lines, strict=True):
        low = max(_WATER, keel)
        x, z = water + (half - water) * rise**_FLARE, low + (rail - low) * rise
        inner = max(half - 0.09, 0.4 * half)
        top = [(inner, rail), (inner, rail - _BULWARK)]
        side = np.array([*zip(x, z, strict=True), *top])
        both = np.concatenate([side, side[::-1] * (-1, 1)])
        rings.append(np.column_stack([both[:, 0], np.full(len(both), at + _rake(at, both[:, 1])), both[:, 1]]))
    return outward(loft(np.stack(rings)))


def _rake(at: float, z: Array) -> Array:
    """Return how far a place low on the stem lies behind the place above it."""
    return np.asarray(np.clip(4.7 - z, 0, 4) * 0.22 * np.clip((-at - 8) / 5, 0, 1) ** 2)


def _bottom(lines: Array, y: Array) -> Mesh:
    """Return the hull below the waterline."""
    rings = []
    for at, (_, _, water, keel) in zip(y, lines, strict=True):
        turn = np.linspace(0, np.pi / 2, 16)
        deep = max(_WATER - keel, 0.01)
        x, z = water * np.cos(turn) ** 0.5, _WATER - deep * np.sin(turn) ** 0.8
        right = np.column_stack([x, z])
        both = np.concatenate([right, right[-2::-1] * (-1, 1)])
        rings.append(np.column_stack([both[:, 0], np.full(len(both), at) + _rake(at, both[:, 1]), both[:, 1]]))
    return outward(loft(np.stack(rings)[lines[:, 3] < _WATER - 0.03]))


def _deck(lines: Array, y: Array) -> Mesh:
    """Return the deck between the bulwarks, its edge inside the hull's side."""
    rings = []
    for at, (half, rail, water, keel) in zip(y[3:-3], lines[3:-3], strict=True):
        low = max(_WATER, keel)
        share = np.clip((rail - _BULWARK - 0.15 - low) / (rail - low), 0, 1)
        edge = max(water + (half - water) * share**_FLARE - 0.05, 0.02)
        ring = np.array([(s * edge, rail - _BULWARK - drop) for s, drop in ((1, 0.12), (1, 0), (-1, 0), (-1, 0.12))])
        rings.append(np.column_stack([ring[:, 0], at + _rake(at, ring[:, 1]), ring[:, 1]]))
    return outward(loft(np.stack(rings)))


def _rail(lines: Array, y: Array, side: int) -> Mesh:
    """Return a handrail over the after part with its stanchions."""
    some = [i for i in range(len(y)) if 9.3 < y[i] < 12.6]
    line = np.array([(side * (lines[i, 0] - 0.05), y[i], lines[i, 1] + 0.5) for i in some])
    posts = [rod(at - (0, 0, 0.55), at, (0.03, 0.03), 8) for at in line[::3]]
    return joined([limb([*line], [0.035, 0.035], 0.0, 40, 8), *posts])


def _rest(at: float) -> Mesh:
    """Return one upright of the cradle, hollowed for the hull."""
    turn = np.linspace(0.15, np.pi - 0.15, 24)
    hollow = [(1.75 * np.cos(t), 2.0 - 1.12 * np.sin(t) ** 0.7) for t in turn]
    outline = np.array([(-2.0, 0.0), (2.0, 0.0), (2.0, 1.5), *hollow, (-2.0, 1.5)])
    rings = [np.column_stack([outline[:, 0], np.full(len(outline), at + d), outline[:, 1]]) for d in (-0.25, 0.25)]
    return outward(loft(np.stack(rings)))
