"""The signal staff with its pennant, and the air hose from the helmet to the sea bed."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array
from scenes.builtin.shapes.sweeps import Mesh, joined, loft, placed, revolved, rounded, spline, tube

from . import pose
from .helmet import hose_start

STAFF_CM = 0.085
PENNANT_CM = (2.55, 1.55)  # length, height at the staff
_STRIPE = (0.36, 0.62)  # where along the pennant the pale stripe lies


def staff_parts() -> dict[str, Mesh]:
    """Return staff, fittings, pennant and hose."""
    foot, top = pose.STAFF_FOOT, pose.STAFF_TOP
    way = (top - foot) / np.linalg.norm(top - foot)
    length = float(np.linalg.norm(top - foot))
    share = np.linspace(0, 1, 90)
    thick = STAFF_CM * (1.06 - 0.12 * share)
    tip = [(0, -0.62), (0.1, -0.62), (0.1, -0.5), (0.078, -0.46), (0.078, -0.4), (0.13, -0.34), (0.13, -0.26)]
    tip += [(0.06, -0.2), (0.02, -0.02), (0, 0)]
    ferrule = [
        (0, length - 1.3),
        (0.115, length - 1.3),
        (0.125, length - 1.1),
        (0.125, length - 0.6),
        (0, length - 0.6),
    ]
    brass = [placed(revolved(rounded(tip, 0.015), 24), top, way)]
    brass += [placed(revolved(rounded(ferrule, 0.02), 24), top, -way)]
    red = [_cloth(0.0, _STRIPE[0]), _cloth(_STRIPE[1], 1.0)]
    return {
        "staff": tube(foot + share[:, None] * (top - 0.3 * way - foot), thick, 16),
        "staff fittings": joined(brass),
        "pennant": joined(red),
        "pennant stripe": _cloth(*_STRIPE),
        "pennant ties": joined(_ties(way)),
    } | _hose()


def _cloth(start: float, end: float) -> Mesh:
    """Return the pennant between two shares of its length, as a thin closed sheet."""
    along = np.linspace(start, end, max(int(90 * (end - start)), 8))
    up = np.linspace(-1, 1, 25)
    sides = [_pennant(along, up, side) for side in (0.017, -0.017)]
    loops = np.concatenate([sides[0], sides[1][:, ::-1]], axis=1)
    return loft(loops)


def _pennant(along: Array, up: Array, lift: float) -> Array:
    """Return the waving, swallow-tailed sheet (along, up, 3), moved sideways by ``lift``."""
    s, u = np.meshgrid(along, up, indexing="ij")
    s = s * (1 - 0.3 * (1 - np.abs(u)) * s**3)  # the notch of the tail
    taper = 0.5 * PENNANT_CM[1] * (1 - 0.42 * s)
    wave = s**0.8 * (0.24 * np.sin(7.6 * s - 0.9 * u + 0.4) + 0.07 * np.sin(15 * s + 1.9 * u + 1.0))
    drop = 0.30 * s**1.6 + 0.05 * np.sin(6 * s + u)
    middle = pose.STAFF_TOP + np.array([-0.06, 0.02, -1.52])
    x = middle[0] - PENNANT_CM[0] * s * 0.93
    y = middle[1] + 0.55 * s + wave + lift
    z = middle[2] + taper * u - drop
    return np.stack([x, y, z], axis=-1)


def _ties(way: Array) -> list[Mesh]:
    turn = np.linspace(0, 2 * np.pi, 25)[:-1]
    ties = []
    for height in (-0.82, -1.52, -2.24):
        middle = pose.STAFF_TOP + way * height - (0.03, 0, 0)
        loop = np.stack([0.125 * np.cos(turn), 0.115 * np.sin(turn), 0 * turn], axis=1)
        outs = loop / np.linalg.norm(loop, axis=1, keepdims=True)
        section = 0.035 * np.stack([np.cos(turn[::3]), np.sin(turn[::3])], axis=1)
        rings = middle + loop[:, None] + section[:, :1] * outs[:, None] + section[:, 1:] * way
        ties.append(loft(rings, loop=True))
    return ties


def _hose() -> dict[str, Mesh]:
    """Return the ribbed hose, out behind the right shoulder and down to the ground, and its end coupling."""
    start, way = hose_start()
    knots: list[ArrayLike] = [
        start - 0.15 * way,
        start + 0.45 * way,
        (-2.0, 2.3, 12.6),
        (-2.75, 2.35, 10.4),
        (-2.7, 1.9, 7.6),
    ]
    knots += [
        (-3.2, 1.7, 4.6),
        (-4.15, 1.45, 2.5),
        (-4.55, 0.6, 1.52),
        (-4.2, -0.75, 1.36),
        (-3.5, -1.7, 1.3),
    ]
    knots += [(-2.6, -2.35, 1.28), (-1.75, -2.8, 1.26)]
    path = spline(knots, 720)
    ribs = np.arange(len(path)) * (2 * np.pi / 5)
    swell = 0.2 + 0.012 * np.sign(np.cos(ribs)) * np.abs(np.cos(ribs)) ** 0.6
    swell[:40] += 0.03 * np.linspace(1, 0, 40)
    end = [
        (0, -0.1),
        (0.27, -0.1),
        (0.29, -0.04),
        (0.29, 0.1),
        (0.22, 0.14),
        (0.22, 0.3),
        (0.15, 0.34),
        (0.15, 0.46),
    ]
    coupling = revolved(rounded([*end, (0, 0.46)], 0.02, steps=2), 32)
    return {
        "hose": tube(path, swell, 16),
        "hose coupling": placed(coupling, path[-1], path[-1] - path[-4]),
    }
