"""Shapes that stand-ins are put together from, in cm."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scenes.demo.sweeps import Mesh, loft, moved, outward, placed, prism, rectangle, revolved, spline, tube

Array = NDArray[np.float64]
Relief = Callable[[Array, Array], Array]
"""What is added to a ball's radius, in radii, by how far a direction is to the left and up, each from -1 to 1."""


def ball(centre: ArrayLike, semi: ArrayLike, relief: Relief | None = None, rows: int = 48) -> Mesh:
    """Return an ellipsoid, with a relief on the half that looks to -y."""
    polar = np.linspace(0, np.pi, rows + 2)[1:-1]
    turn = 2 * np.pi * np.arange(2 * rows) / (2 * rows)
    ways = np.stack(
        [np.outer(np.sin(polar), np.cos(turn)), np.outer(np.sin(polar), np.sin(turn)),
         np.outer(np.cos(polar), np.ones_like(turn))], axis=-1,
    )  # fmt: skip
    radius = np.ones(ways.shape[:2])
    if relief is not None:
        radius = radius + relief(ways[..., 0], ways[..., 2]) * (ways[..., 1] < 0.15)
    mesh = loft(ways * radius[..., None] * np.asarray(semi, float))
    mesh.vertices[-2:] = np.array([[0, 0, 1], [0, 0, -1]]) * np.asarray(semi, float)
    return outward(moved(mesh, centre))


def box(size: Sequence[float], centre: ArrayLike, round_cm: float = 0.1) -> Mesh:
    """Return a box with round edges, its lower side at the height of `centre`."""
    width, length, height = size
    outline = rectangle(width, length, min(round_cm * 2, 0.45 * min(width, length)))
    return outward(moved(prism(outline, height, min(round_cm, 0.2 * height)), centre))


def slab(
    outline: Sequence[tuple[float, float]], thick: float, origin: ArrayLike, up: ArrayLike, forward: ArrayLike
) -> Mesh:
    """Return a flat outline raised by `thick`, set up at an origin with its first axis forward."""
    return outward(placed(prism(np.asarray(outline, float), thick, 0.15 * thick), origin, up, forward))


def limb(knots: Sequence[ArrayLike], radii: Sequence[float], folds: float = 0.0, count: int = 60) -> Mesh:
    """Return a round limb through knots, its radius going along with them; `folds` ripple it, in radii."""
    path = spline(knots, count)
    along = np.linspace(0, 1, count)
    radius = np.interp(along, np.linspace(0, 1, len(radii)), radii)
    ripple = 1 + folds * np.sin(37 * along + 5 * np.sin(9 * along))
    return outward(tube(path, radius * ripple, 28))


def turned(profile: ArrayLike, origin: ArrayLike, axis: ArrayLike, sides: int = 48) -> Mesh:
    """Return a profile of (radius, height) turned about an axis that begins at an origin."""
    return outward(placed(revolved(profile, sides), origin, axis))


def ringed(rings: Sequence[tuple[float, float, float, float]], corner: float = 2.0, sides: int = 64) -> Mesh:
    """Return a body through level rings of (height, half width, half depth, place of the middle in depth).

    `corner` is 2 for ellipses; more makes them squarer (superellipses).
    """
    turn = 2 * np.pi * np.arange(sides) / sides
    x, y = (np.sign(f) * np.abs(f) ** (2 / corner) for f in (np.cos(turn), np.sin(turn)))
    from scipy.interpolate import PchipInterpolator

    through = PchipInterpolator(np.linspace(0, 1, len(rings)), np.array(rings))
    levels = through(np.linspace(0, 1, 10 * (len(rings) - 1) + 1))
    return outward(loft(np.stack([np.column_stack([w * x, d * y + m, np.full(sides, z)]) for z, w, d, m in levels])))


def wheel(centre: ArrayLike, radius: float, width: float) -> tuple[Mesh, Mesh]:
    """Return a tyre and its hub, turning about x."""
    at = np.asarray(centre, float) - [width / 2, 0, 0]
    tyre = [(0.6, 0.1), (0.85, 0.0), (1.0, 0.2), (1.0, 0.8), (0.85, 1.0), (0.6, 0.9)]
    hub = [(0, 0.05), (0.25, 0.05), (0.35, 0.2), (0.62, 0.2), (0.62, 0.8), (0.35, 0.8), (0.25, 0.95), (0, 0.95)]
    profiles = ([(r * radius, h * width) for r, h in shape] for shape in (tyre, hub))
    rubber, metal = (turned(profile, at, (1, 0, 0), 40) for profile in profiles)
    return rubber, metal
