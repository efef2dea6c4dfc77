"""Shapes that stand-ins are put together from, in cm."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array

from .solids import Field
from .sweeps import Mesh, loft, moved, outward, placed, prism, rectangle, revolved, rounded, spline, tube


def ball(centre: ArrayLike, semi: ArrayLike, rows: int = 24) -> Mesh:
    """Return an ellipsoid."""
    ways = directions(rows, 2 * rows)
    mesh = loft(ways * np.asarray(semi, float))
    mesh.vertices[-2:] = np.array([[0, 0, 1], [0, 0, -1]]) * np.asarray(semi, float)
    return outward(moved(mesh, centre))


def directions(rows: int, sides: int, towards: float = 0.0) -> Array:
    """Return unit vectors (rows, sides, 3) from pole to pole, crowded to the equator's -y by `towards` (below 1)."""
    polar = np.linspace(0, np.pi, rows + 2)[1:-1]
    polar = polar + 0.4 * towards * np.sin(2 * polar)
    turn = 2 * np.pi * np.arange(sides) / sides
    turn = turn - towards * np.sin(turn)
    return np.stack(
        [
            np.outer(np.sin(polar), np.sin(turn)),
            -np.outer(np.sin(polar), np.cos(turn)),
            np.outer(np.cos(polar), np.ones_like(turn)),
        ],
        axis=-1,
    )


def reach(field: Field, starts: Array, ways: Array, far: float) -> Array:
    """Return how far from each start along each way a solid ends that holds the start and has no gap on the way."""
    low, high = np.zeros(ways.shape[:-1]), np.full(ways.shape[:-1], far)
    for _ in range(15):
        middle = (low + high) / 2
        inside = field((starts + ways * middle[..., None]).reshape(-1, 3)).reshape(middle.shape) < 0
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return np.asarray((low + high) / 2)


def box(size: Sequence[float], centre: ArrayLike, round_cm: float = 0.1) -> Mesh:
    """Return a box with round edges, its lower side at the height of `centre`."""
    width, length, height = size
    outline = rectangle(width, length, min(round_cm * 2, 0.45 * min(width, length)))
    return outward(moved(prism(outline, height, min(round_cm, 0.2 * height)), centre))


def slab(
    outline: ArrayLike,
    thick: float,
    origin: ArrayLike,
    up: ArrayLike,
    forward: ArrayLike,
    *,
    round_cm: float = 0.0,
) -> Mesh:
    """Return a flat outline raised by `thick`, set up at an origin with its first axis forward."""
    flat = rounded(outline, round_cm, loop=True) if round_cm else np.asarray(outline, float)
    return outward(placed(prism(flat, thick, 0.2 * thick), origin, up, forward))


def across(outline: ArrayLike, width: float, x: float = 0.0, round_cm: float = 0.15) -> Mesh:
    """Return an outline of (y, z) drawn out along x by a width about a place."""
    flat = rounded(outline, round_cm, loop=True)
    middle = flat.mean(axis=0)
    body = prism(flat - middle, width, min(0.08, 0.2 * width))
    return outward(placed(body, (x - width / 2, *middle), (1, 0, 0), (0, 1, 0)))


def limb(
    knots: Sequence[ArrayLike], radii: Sequence[float], folds: float = 0.0, count: int = 40, sides: int = 20
) -> Mesh:
    """Return a round-ended limb through knots, its radius going along with them; `folds` ripple it, in radii."""
    from scipy.interpolate import PchipInterpolator

    even = spline(knots, 4 * count)
    share = (1 - np.cos(np.pi * np.linspace(0, 1, count))) / 2
    path = np.stack([np.interp(share, np.linspace(0, 1, 4 * count), even[:, i]) for i in range(3)], axis=1)
    radius = PchipInterpolator(np.linspace(0, 1, len(radii)), radii)(share)
    length = np.linalg.norm(np.diff(even, axis=0), axis=1).sum()
    short = np.clip(1 - np.minimum(share, 1 - share) * length / radius, 0, 0.995)
    ripple = 1 + folds * np.sin(31 * share + 4 * np.sin(8 * share))
    return outward(tube(path, radius * ripple * np.sqrt(1 - short**2), sides))


def rod(start: ArrayLike, end: ArrayLike, radii: tuple[float, float], sides: int = 20) -> Mesh:
    """Return a straight rod with flat ends."""
    share = np.array([0, 0.002, 0.5, 0.998, 1.0])
    path = np.asarray(start, float) + share[:, None] * (np.asarray(end, float) - np.asarray(start, float))
    return outward(tube(path, np.interp(share, (0, 1), radii) * (0.85, 1, 1, 1, 0.85), sides))


def turned(profile: ArrayLike, origin: ArrayLike, axis: ArrayLike, sides: int = 48) -> Mesh:
    """Return a profile of (radius, height) turned about an axis that begins at an origin."""
    return outward(placed(revolved(profile, sides), origin, axis))


def through(table: Sequence[Sequence[float]], at: Array) -> Array:
    """Return a table's rows, by their first column, at places between them (n, columns - 1), without overshoot."""
    from scipy.interpolate import PchipInterpolator

    rows = np.asarray(table, float)
    return np.asarray(PchipInterpolator(rows[:, 0], rows[:, 1:])(at))


def oval(sides: int, corner: float = 2.0) -> Array:
    """Return a unit superellipse (sides, 2): `corner` is 2 for a circle, more is squarer."""
    turn = 2 * np.pi * (np.arange(sides) + 0.5) / sides
    x, y = (np.sign(f) * np.abs(f) ** (2 / corner) for f in (np.cos(turn), np.sin(turn)))
    return np.stack([x, y], axis=1)


def mirrored(make: Callable[[int], Mesh]) -> list[Mesh]:
    """Return what is made for the right and for the left."""
    return [make(side) for side in (-1, 1)]


def wheel(centre: ArrayLike, radius: float, width: float, sides: int = 40) -> tuple[Mesh, Mesh]:
    """Return a tyre and its hub, turning about x."""
    at = np.asarray(centre, float) - [width / 2, 0, 0]
    tyre = rounded(
        [(0.6, 0.12), (0.8, 0.0), (0.94, 0.06), (1.0, 0.2), (1.0, 0.8), (0.94, 0.94), (0.8, 1.0), (0.6, 0.88)],
        0.08,
        loop=True,
        steps=1,
    )
    hub = [
        (0, 0.1),
        (0.14, 0.1),
        (0.2, 0.2),
        (0.45, 0.28),
        (0.55, 0.14),
        (0.63, 0.14),
        (0.63, 0.86),
        (0.55, 0.86),
        (0.45, 0.72),
        (0.2, 0.8),
        (0.14, 0.9),
        (0, 0.9),
    ]
    profiles = ([(r * radius, h * width) for r, h in shape] for shape in (tyre, hub))
    rubber, metal = (turned(profile, at, (1, 0, 0), sides) for profile in profiles)
    return rubber, metal
