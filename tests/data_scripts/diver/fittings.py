"""Small hardware that repeats: nuts, wing nuts, rivets, bars, lugs (cm)."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.sweeps import Mesh, circle, joined, loft, moved, placed, prism, revolved, rounded, tube


def hex_nut(across: float, height: float) -> Mesh:
    """Return a six-sided nut with a domed stud end, sitting on z = 0."""
    nut = prism(circle(across / 2, 6), height, 0.12 * across)
    stud = dome(0.27 * across, 0.3 * height)
    return joined([nut, moved(stud, (0, 0, height * 0.98))])


def dome(radius: float, height: float, sides: int = 12) -> Mesh:
    """Return a rivet head: a cap of a flattened ball with a flat underside a little below z = 0."""
    rise = np.linspace(0, np.pi / 2, 5)
    profile = [(0.0, -0.3 * height), (radius, -0.3 * height)]
    profile += [(radius * np.cos(t), height * np.sin(t)) for t in rise[:-1]]
    return revolved([*profile, (0.0, height)], sides)


def wing_nut(span: float) -> Mesh:
    """Return a wing nut: a tapered hub with two raised ears along x."""
    outline = [(0, 0), (0.2 * span, 0), (0.15 * span, 0.36 * span), (0, 0.36 * span)]
    hub = revolved(rounded(outline, 0.04 * span, steps=2), 12)
    share = np.linspace(0, 1, 7)
    parts = [hub]
    for side in (-1, 1):
        centre = np.stack([side * span * (0.08 + 0.4 * share), 0 * share, span * (0.2 + 0.26 * share**1.4)], axis=1)
        tall = span * 0.16 * np.sqrt(np.maximum(1 - (2 * share - 1.02) ** 2, 0.02))
        parts.append(_paddle(centre, tall, 0.055 * span))
    return joined(parts)


def _paddle(centre: Array, tall: Array, thick: float) -> Mesh:
    turn = 2 * np.pi * np.arange(8) / 8
    rings = np.repeat(centre[:, None], 8, axis=1)
    rings[..., 1] += thick * np.cos(turn)
    rings[..., 2] += tall[:, None] * np.sin(turn)
    return loft(rings)


def rod(start: Array, end: Array, radius: float, sides: int = 12) -> Mesh:
    """Return a straight rod with softly rounded ends."""
    share = np.array([0, 0.0, 0.015, 0.05, 0.5, 0.95, 0.985, 1.0, 1.0])
    width = radius * np.array([0.5, 0.75, 0.95, 1, 1, 1, 0.95, 0.75, 0.5])
    share[[0, -1]] -= (1e-3, -1e-3)
    return tube(start + share[:, None] * (end - start), width, sides)


def studs(kind: Mesh, places: Array, ups: Array, forwards: Array) -> Mesh:
    """Return copies of a fitting at several places, each turned by its own two directions."""
    return joined(placed(kind, place, up, forward) for place, up, forward in zip(places, ups, forwards, strict=True))


def ring_of(kind: Mesh, count: int, radius: float, height: float, start_deg: float = 0.0) -> Mesh:
    """Return copies of a fitting round the z axis, standing up, their x along the ring."""
    turn = np.radians(start_deg) + 2 * np.pi * np.arange(count) / count
    places = np.stack([radius * np.cos(turn), radius * np.sin(turn), np.full(count, height)], axis=1)
    tangents = np.stack([-np.sin(turn), np.cos(turn), 0 * turn], axis=1)
    return studs(kind, places, np.tile([0.0, 0.0, 1.0], (count, 1)), tangents)
