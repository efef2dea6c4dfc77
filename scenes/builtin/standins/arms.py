"""A figure's arms in sleeves with cuffs, and its hands, in half heights of a head about its centre."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from scenes.builtin.shapes.primitives import limb, oval, turned
from scenes.builtin.shapes.sweeps import Mesh, joined, loft, outward, placed

Place = tuple[float, float, float]


class Arm(NamedTuple):
    """Where an arm goes, shoulder to wrist, and how its hand lies: along its fingers, and towards its thumb."""

    knots: list[Place]
    along: Place
    across: Place


ARMS = (
    Arm(  # the hand on the belt
        [
            (-1.1, 0.22, -2.32),
            (-1.52, 0.26, -2.62),
            (-1.85, 0.36, -3.5),
            (-2.3, 0.52, -4.55),
            (-1.98, -0.05, -4.75),
            (-1.5, -0.56, -4.6),
        ],
        (0.94, -0.22, -0.12),
        (0.12, 0.0, 1.0),
    ),
    Arm(  # hanging, a little bent
        [
            (1.1, 0.22, -2.32),
            (1.5, 0.26, -2.62),
            (1.78, 0.32, -3.6),
            (2.02, 0.42, -4.75),
            (2.14, 0.2, -5.6),
            (2.2, -0.16, -6.45),
        ],
        (0.02, -0.3, -1.0),
        (-0.3, -1.0, 0.3),
    ),
)
_SLEEVE = [0.49, 0.5, 0.42, 0.39, 0.36, 0.33]
_CUFF = [(0.26, -0.48), (0.38, -0.5), (0.41, -0.44), (0.4, 0.0), (0.36, 0.05), (0.26, 0.04)]
"""(radius, place along the forearm from its end)."""
_PALM = [(-0.1, 0.19, 0.16), (0.12, 0.24, 0.17), (0.4, 0.35, 0.17), (0.68, 0.36, 0.14), (0.8, 0.31, 0.09)]
"""(along from the wrist, half width, half thickness)."""


def sleeve(arm: Arm) -> Mesh:
    """Return a sleeve from the shoulder to the wrist, a cuff at its end."""
    end, before = np.array(arm.knots[-1]), np.array(arm.knots[-2])
    return joined([limb(arm.knots, _SLEEVE, 0.02, 56, 28), turned(_CUFF, end, end - before, 28)])


def hand(arm: Arm) -> Mesh:
    """Return a hand at ease: wrist, palm, four bent fingers and a thumb."""
    a = np.array(arm.along) / np.linalg.norm(arm.along)
    b = np.array(arm.across) - a * (np.array(arm.across) @ a)
    b /= np.linalg.norm(b)
    n = np.cross(b, a) * np.sign(arm.knots[0][0])  # out of the palm
    wrist = np.array(arm.knots[-1]) + 0.1 * a
    ring = oval(20, 2.6)
    palm = np.stack([np.column_stack([w * ring[:, 0], t * ring[:, 1], np.full(20, at)]) for at, w, t in _PALM])
    fingers = [
        limb(
            [
                wrist + x * a + s * b + y * n
                for x, y in ((0.6, 0.0), (0.92, 0.04), (0.92 + reach, 0.16), (1.0 + reach, 0.34))
            ],
            [0.115, 0.11, 0.1, 0.08],
            count=14,
            sides=10,
        )
        for s, reach in ((-0.27, 0.16), (-0.09, 0.26), (0.09, 0.3), (0.27, 0.24))
    ]
    thumb = [wrist + x * a + y * b + z * n for x, y, z in ((0.1, 0.16, 0.05), (0.4, 0.4, 0.14), (0.74, 0.44, 0.24))]
    return joined(
        [
            limb([wrist - 0.3 * a, wrist + 0.1 * a], [0.18, 0.18], count=10, sides=14),
            outward(placed(loft(palm), wrist, a, b)),
            *fingers,
            limb(thumb, [0.14, 0.13, 0.1], count=14, sides=10),
        ]
    )
