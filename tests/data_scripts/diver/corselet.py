"""The corselet: the shaped breastplate, the strap that clamps the suit under its rim, its nuts and rivets."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.solids import common, ellipsoid, round_cone, union
from scenes.builtin.shapes.sweeps import Mesh, joined, moved, placed, prism, rectangle

from .fittings import dome, studs, wing_nut
from .shaping.noise import fractal
from .shaping.solids import bump
from .shaping.surfacing import normals_of, surface
from .strap import band

_AXIS = np.array([0.0, 0.1, 0.0])
NUTS = 12


def plate(points: Array) -> Array:
    """Return the distance from the plate's outer surface, as if it went on below its rim."""
    bowl = ellipsoid(points, (0, 0.1, 11.3), (2.85, 2.05, 1.72))
    neck = round_cone(points, (0, 0.05, 12.35), (0, 0.05, 13.4), (1.72, 1.3))
    return union([bowl, neck], 0.45) + 0.006 * fractal(points, 1.1, 2, 8)


def rim_height(x: Array, y: Array) -> Array:
    """Return the height of the rim: high over the shoulders, low before the chest and behind."""
    fall = np.abs(y - 0.1) / 2.0
    return np.asarray(12.12 - 1.5 * fall**1.5 - 0.05 * np.abs(x))


def corselet(points: Array) -> Array:
    """Return the distance from the plate as a solid, with a groove pressed in above its rim."""
    over = points[:, 2] - rim_height(points[:, 0], points[:, 1])
    groove = 0.05 * bump(over - 0.5, 0.15)
    return common(plate(points) + groove, -0.8 * over, 0.06)


def corselet_parts() -> dict[str, Mesh]:
    """Return the corselet's named parts."""
    path = rim()
    normals = normals_of(plate, path)
    strap = rectangle(0.36, 0.13, 0.04, 2)
    gasket = rectangle(0.5, 0.16, 0.06, 1)
    nut_at = (np.arange(NUTS) + 0.5) * len(path) // NUTS
    nut_at = nut_at.astype(int)
    along = np.roll(path, -2, axis=0) - np.roll(path, 2, axis=0)
    tops = path + 0.055 * normals
    rivet_at = np.setdiff1d(np.arange(0, len(path), 6), np.concatenate([nut_at + i for i in range(-4, 5)]))
    shield = placed(_maker_plate(), *_on_plate(12.3))
    return {
        "corselet": surface(corselet, (-3.1, -2.3, 9.9), (3.1, 2.5, 13.5), 0.085),
        "corselet gasket": band(path - 0.03 * normals, normals, gasket),
        "corselet strap": band(path + 0.02 * normals, normals, strap),
        "corselet nuts": studs(wing_nut(0.4), tops[nut_at], normals[nut_at], along[nut_at]),
        "rivets": studs(dome(0.045, 0.03, 10), (tops + 0.02 * normals)[rivet_at], normals[rivet_at], along[rivet_at]),
        "corselet plate": shield,
    }


def rim(count: int = 360) -> Array:
    """Return points evenly spaced along the rim, found by halving along rays from the axis."""
    turn = np.linspace(0, 2 * np.pi, 4 * count, endpoint=False) - np.pi / 2
    way = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    near, far = np.full(len(turn), 0.8), np.full(len(turn), 3.4)
    for _ in range(40):
        middle = (near + far) / 2
        outside = plate(_rim_point(way, middle)) > 0
        near, far = np.where(outside, near, middle), np.where(outside, middle, far)
    path = _rim_point(way, near)
    closed = np.concatenate([path, path[:1]])
    length = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    even = np.linspace(0, length[-1], count, endpoint=False)
    return np.stack([np.interp(even, length, closed[:, i]) for i in range(3)], axis=1)


def _rim_point(way: Array, reach: Array) -> Array:
    x, y = way[:, 0] * reach, _AXIS[1] + way[:, 1] * reach
    return np.stack([x, y, rim_height(x, y)], axis=1)


def _maker_plate() -> Mesh:
    """Return a blank oval plate with two pins."""
    turn = 2 * np.pi * np.arange(40) / 40
    oval = np.stack([0.2 * np.cos(turn), 0.42 * np.sin(turn)], axis=1)
    pins = [moved(dome(0.035, 0.025, 10), (0, y, 0.05)) for y in (-0.33, 0.33)]
    return joined([prism(oval, 0.06, 0.015), *pins])


def _on_plate(height: float) -> tuple[Array, Array, tuple[float, float, float]]:
    """Return a place in front on the plate, its normal, and up as the way the fitting is turned."""
    ys = np.linspace(-2.4, -0.9, 2000)
    line = np.stack([0 * ys, ys, np.full(2000, height)], axis=1)
    place = line[np.argmin(np.abs(plate(line)))]
    way = normals_of(plate, place[None])[0]
    return place - 0.02 * way, way, (0, 0, 1)
