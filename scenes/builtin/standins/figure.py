"""A standing figure, in half heights of a head about its centre (a man of 7.5 heads), then in cm."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.primitives import ball, limb, mirrored, reach, slab, turned
from scenes.builtin.shapes.solids import ellipsoid, round_cone, step, union
from scenes.builtin.shapes.sweeps import Mesh, joined, outward

from .arms import ARMS, hand, sleeve
from .head import head
from .torso import trunk, wrapped


def figure() -> dict[str, Mesh]:
    """Return a figure in a belted coat and boots, 18 cm tall on its base."""
    half, ground = 1.16, 0.55
    body = {
        "neck": limb([(0, 0.2, -2.0), (0, 0.12, -0.6)], [0.5, 0.44], 0.0, 12),
        "coat": joined([wrapped(trunk, np.linspace(-8.3, -1.28, 72), _skirt), *map(sleeve, ARMS)]),
        "collar": turned(
            [(0.5, 0), (0.74, -0.05), (0.78, 0.1), (0.66, 0.42), (0.57, 0.45)], (0, 0.16, -1.72), (0, -0.12, 1)
        ),
        "belt": wrapped(lambda p: trunk(p) - 0.07, np.linspace(-4.85, -4.4, 7)),
        "buckle": slab(
            [(-0.26, -0.24), (0.26, -0.24), (0.26, 0.24), (-0.26, 0.24)],
            0.12,
            (0, -0.68, -4.62),
            (0, -1, 0),
            (1, 0, 0),
            round_cm=0.08,
        ),
        "buttons": joined(ball((0, y, z), (0.075, 0.06, 0.075), 8) for y, z in _front((-2.4, -3.0, -3.6, -4.1))),
        "trousers": joined(mirrored(_leg)),
        "hands": joined(map(hand, ARMS)),
        "boots": joined(mirrored(_boot)),
    }
    centre = np.array([0, 0, ground + 14 * half])
    base = [(0, 0), (3.3, 0), (3.4, 0.1), (3.4, 0.42), (3.28, 0.55), (0, 0.55)]
    return {
        **head(centre, half, 50),
        **{name: Mesh(mesh.vertices * half + centre, mesh.faces) for name, mesh in body.items()},
        "base": turned(base, (0, 0, 0), (0, 0, 1), 96),
    }


def _skirt(points: Array) -> Array:
    """Return the folds of the coat: deep below the belt, shallow above it, drawn in under it."""
    x, y, z = np.moveaxis(points, -1, 0)
    turn = np.arctan2(x, -y)
    hanging = 0.1 * step(z, -4.9, -8.0) * np.sin(9 * turn + 1.3 * np.sin(3 * turn) + 0.1 * z)
    drawn = 0.02 * np.sin(11 * turn) * np.exp(-(((z + 4.6) / 0.7) ** 2))
    opening = -0.06 * np.exp(-(((x - 0.16) / 0.045) ** 2)) * (y < 0) * step(z, -1.6, -1.9)
    return np.asarray(hanging + drawn + opening)


def _front(heights: tuple[float, ...]) -> list[tuple[float, float]]:
    """Return (y, z) of the trunk's front at heights."""
    starts = np.array([(0, 0.14, z) for z in heights])
    far = reach(trunk, starts, np.broadcast_to([0.0, -1.0, 0.0], starts.shape), 3.0)
    return [(0.14 - d, z) for d, z in zip(far, heights, strict=True)]


def _leg(side: int) -> Mesh:
    forward = -0.18 if side > 0 else 0.0
    return limb(
        [(side * 0.62, 0.1, -6.6), (side * 0.78, forward, -9.6), (side * 0.92, 0.12, -12.4)],
        [0.72, 0.64, 0.53, 0.45, 0.36],
        0.03,
        48,
        28,
    )


def _boot(side: int) -> Mesh:
    """Return a boot: shaft, instep and toe, its sole flat."""

    def field(points: Array) -> Array:
        parts = [
            round_cone(points, (0, 0.1, -11.4), (0, 0.16, -13.5), (0.52, 0.4)),
            round_cone(points, (0, 0.1, -13.45), (0, -0.85, -13.72), (0.4, 0.3)),
            ellipsoid(points, (0, -0.8, -13.85), (0.42, 0.52, 0.34)),
            ellipsoid(points, (0, 0.15, -13.8), (0.36, 0.42, 0.4)),
        ]
        return union(parts, 0.2)

    levels = np.concatenate([[-14.0, -13.99, -13.88, -13.87], np.linspace(-13.8, -11.5, 26), [-11.45, -11.44]])
    mesh = wrapped(field, levels, _sole_and_cuff, 0.0)
    turn = side * 0.2
    spin = np.array([[np.cos(turn), np.sin(turn), 0], [-np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    return outward(Mesh(mesh.vertices @ spin + (side * 0.92, 0, 0), mesh.faces))


def _sole_and_cuff(points: Array) -> Array:
    z = points[..., 2]
    return np.asarray(0.05 * (z < -13.875) + 0.05 * (z > -11.62) - 0.25 * (z > -11.445))
