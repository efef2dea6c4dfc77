"""The base: a turned oval plinth and on it a patch of sea bed with rocks, a chain and starfish."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.solids import Field, ellipsoid, step
from scenes.builtin.shapes.sweeps import Mesh, circle, joined, loft, placed, prism, rectangle

from . import pose
from .shaping.noise import fractal, noise
from .shaping.solids import bump
from .shaping.surfacing import surface

HALF_X, HALF_Y = 5.5, 3.9
GROUND_CM = 1.02
_ROCK_L = np.array([2.45, -1.5, 1.0])  # under the diver's left boot


def base_parts() -> dict[str, Mesh]:
    """Return the base's named parts."""
    low, high = (-HALF_X, -HALF_Y, 0.55), (HALF_X, HALF_Y, 3.2)
    return {
        "base": _plinth(),
        "sea bed": surface(ground, low, high, 0.115),
        "rocks": joined([surface(_boulder(*stone), *_around(stone), 0.1) for stone in _STONES]),
        "chain": joined(_chain()),
        "starfish": joined([_starfish((-3.3, -2.45), 0.55, 0.3), _starfish((3.2, 2.6), 0.5, 1.1)]),
        "base plate": _plate(),
    }


def _plate() -> Mesh:
    """Return a blank brass plate in the hollow of the plinth's front."""
    plate = prism(rectangle(2.2, 0.3, 0.06), 0.1, 0.02)
    # its middle lies on the oval; the ends, where the oval falls back, are filled by its thickness
    return placed(plate, (0, 0.17 - HALF_Y, 0.42), (0, -1, 0), (1, 0, 0))


# centre, semi-axes, seed of the flats
_STONES = (
    (_ROCK_L, np.array([1.6, 1.95, 1.15]), 3),
    (np.array([4.75, -0.85, 0.95]), np.array([0.62, 0.7, 0.5]), 5),
    (np.array([-3.3, 1.9, 1.0]), np.array([1.2, 1.0, 0.9]), 9),
    (np.array([0.4, 2.3, 1.0]), np.array([1.5, 0.9, 0.62]), 12),
    (np.array([3.6, 1.9, 0.95]), np.array([0.9, 0.8, 0.75]), 17),
    (np.array([-0.35, -2.6, 0.95]), np.array([0.55, 0.45, 0.34]), 21),
    (np.array([-4.6, -0.5, 0.9]), np.array([0.4, 0.5, 0.32]), 25),
)


def ground_height(x: Array, y: Array) -> Array:
    """Return the height of the sand: swells, and ripples that lean with a current (cm)."""
    flat = np.column_stack([x, y, 0 * x])
    swell = 0.09 * noise(flat, 2.6, 71)
    phase = 2 * np.pi * (0.35 * x + 0.94 * y) / 0.62 + 1.9 * noise(flat, 1.7, 72)
    ripple = 0.045 * (np.abs(np.sin(phase / 2)) - 0.6) * step(noise(flat, 2.2, 73), -0.5, 0.3)
    level = np.full_like(x, GROUND_CM + 0.08)
    # pressed flat and raised round the boot that stands in it
    pressed = bump(np.hypot(x - pose.ANKLE_R[0] + 0.25, y - pose.ANKLE_R[1] + 0.6), 2.1)
    ripple, swell, level = ripple * (1 - pressed), swell * (1 - pressed), level + 0.14 * pressed
    return np.asarray(level + swell + ripple + 0.012 * fractal(flat, 0.3, 2, 75))


def ground(points: Array) -> Array:
    """Return the distance from the sand, which falls off to the plinth at its edge."""
    x, y, z = points.T
    edge = _oval(points, 0.17)
    height = ground_height(x, y) - 0.06 * step(edge, -0.7, 0.0) ** 2
    top = 0.85 * (z - height)
    body = np.maximum(edge, 0.7 - z)
    overlap = np.maximum(0.18 - np.abs(top - body), 0) / 0.18
    return np.asarray(np.maximum(top, body) + overlap**2 * 0.045)


def _oval(points: Array, inset: float) -> Array:
    return ellipsoid(points * (1, 1, 0), (0, 0, 0), (HALF_X - inset, HALF_Y - inset, 1.0))


def _plinth() -> Mesh:
    """Return the turned oval plinth."""
    levels = [
        (0.12, 0.0),
        (0.03, 0.02),
        (0.0, 0.08),
        (0.0, 0.17),
        (0.05, 0.23),
        (0.11, 0.26),
        (0.13, 0.3),
        (0.13, 0.54),
    ]
    levels += [
        (0.11, 0.57),
        (0.04, 0.6),
        (0.01, 0.64),
        (0.01, 0.72),
        (0.05, 0.76),
        (0.14, 0.775),
        (0.5, 0.78),
    ]
    turn = 2 * np.pi * np.arange(180) / 180
    rings = [
        np.column_stack([(HALF_X - i) * np.cos(turn), (HALF_Y - i) * np.sin(turn), np.full(180, z)]) for i, z in levels
    ]
    return loft(np.stack(rings))


def _boulder(centre: Array, semi: Array, seed: int) -> Field:
    """Return the field of a stone: a ball cut by random flats, cut off at the edge of the base."""
    draw = np.random.default_rng(seed)
    ways = draw.normal(size=(26, 3))
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    cuts = draw.uniform(0.74, 0.98, 26)
    if seed == 3:  # the step the boot stands on has a flat top
        ways[0], cuts[0] = (0, 0, 1), (pose.SOLE_L + 0.02 - centre[2]) / semi[2]

    def field(points: Array) -> Array:
        unit = (points - centre) / semi
        flats = unit @ ways.T - cuts
        soft = np.log(np.exp(22 * np.clip(flats, -2, 2)).sum(axis=1)) / 22
        grain = 0.03 * fractal(points, 0.7, 3, seed + 80) + 0.02 * np.abs(noise(points, 0.5, seed + 90))
        return np.asarray(np.maximum(0.75 * soft * semi.min() + grain, _oval(points, 0.24)))

    return field


def _around(stone: tuple[Array, Array, int]) -> tuple[Array, Array]:
    centre, semi, _ = stone
    low = centre - 1.12 * semi
    return np.array([low[0], low[1], max(low[2], 0.8 * centre[2] - 0.45)]), centre + 1.12 * semi


def _chain() -> list[Mesh]:
    """Return a length of stud-less chain that lies on the sand, half of its links on edge."""
    links = []
    share = np.arange(11.0)
    x = -0.55 + 0.29 * share
    y = -3.05 + 0.1 * np.sin(share * 0.9) + 0.0145 * share**2
    z = ground_height(x, y) + 0.07
    path = np.stack([x, y, z], axis=1)
    for i in range(10):
        way = path[i + 1] - path[i]
        up = (0, 0.35, 1) if i % 2 else (0, -1, 0.55)
        links.append(placed(_link(), (path[i] + path[i + 1]) / 2, up, way))
    return links


def _link() -> Mesh:
    turn = np.linspace(0, 2 * np.pi, 28, endpoint=False)
    across = np.cos(turn)
    path = np.stack([0.12 * (np.sign(across) + across), 0.125 * np.sin(turn), 0 * turn], axis=1)
    tangents = np.roll(path, -1, axis=0) - np.roll(path, 1, axis=0)
    outs = np.cross(tangents, (0, 0, 1.0))
    outs /= np.linalg.norm(outs, axis=1, keepdims=True)
    section = circle(0.052, 8)
    return loft(path[:, None] + section[:, :1] * outs[:, None] + section[:, 1:] * (0, 0, 1.0), loop=True)


def _starfish(place: tuple[float, float], size: float, turned: float) -> Mesh:
    """Return a five-armed starfish, draped on the sand and beaded along its arms."""
    x0, y0 = place
    z0 = float(ground_height(np.array([x0]), np.array([y0]))[0])

    def field(points: Array) -> Array:
        local = (points - (x0, y0, z0)) / size
        angle = np.arctan2(local[:, 1], local[:, 0]) + turned
        fold = np.abs((angle + np.pi / 5) % (2 * np.pi / 5) - np.pi / 5)
        radius = np.hypot(local[:, 0], local[:, 1])
        arm = np.stack([radius * np.cos(fold), radius * np.sin(fold), local[:, 2]], axis=1)
        share = np.clip(arm[:, 0], 0, 1)
        rest = np.linalg.norm(arm - share[:, None] * (1.0, 0, 0), axis=1) - 0.25 + 0.17 * share
        beads = 0.02 * np.cos(26 * arm[:, 0]) * step(radius, 0.1, 0.3)
        return np.asarray(size * 0.8 * (rest + beads))

    reach = 1.15 * size
    return surface(field, (x0 - reach, y0 - reach, z0 - 0.3), (x0 + reach, y0 + reach, z0 + 0.35), 0.05)
