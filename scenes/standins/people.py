"""A standing figure and a bust, with a face that light can be judged by."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scenes.demo.sweeps import Mesh, joined, moved

from .shapes import ball, limb, ringed, turned

Array = NDArray[np.float64]


def figure() -> dict[str, Mesh]:
    """Return a figure in coat and boots, 18 cm tall on its base."""
    legs = [
        limb([(s * 0.75, 0.0, 9.2), (s * 0.95, -0.15, 5.4), (s * 1.15, 0.05, 1.9)], [0.95, 0.7, 0.52], 0.018)
        for s in (-1, 1)
    ]
    arms = [
        limb([(-1.3, 0.1, 14.35), (-2.35, 0.2, 12.1), (-2.2, -1.1, 10.2)], [0.72, 0.6, 0.44], 0.02),
        limb([(1.3, 0.1, 14.35), (2.3, 0.3, 11.9), (2.7, -0.25, 9.2)], [0.72, 0.6, 0.44], 0.02),
    ]
    coat = ringed(
        [(8.0, 1.75, 1.25, 0.0), (9.6, 1.55, 1.05, 0.0), (11.0, 1.4, 0.95, 0.0), (13.0, 1.75, 1.1, 0.05),
         (14.5, 1.8, 0.95, 0.1), (15.2, 0.75, 0.6, 0.1)], 2.3,
    )  # fmt: skip
    boots = [ball((s * 1.15, -0.35, 1.1), (0.55, 1.05, 0.6)) for s in (-1, 1)]
    boots += [limb([(s * 1.15, 0.05, 0.8), (s * 1.12, 0.05, 2.4)], [0.55, 0.66], 0.0, 16) for s in (-1, 1)]
    return {
        **_head((0.0, 0.0, 16.55), 1.05),
        "neck": limb([(0, 0.1, 14.8), (0, 0.05, 15.9)], [0.55, 0.5], 0.0, 12),
        "coat": joined([coat, *arms]),
        "belt": ringed([(10.5, 1.52, 1.06, 0.0), (10.95, 1.5, 1.04, 0.0)], 2.3),
        "trousers": joined(legs),
        "hands": joined([ball((-2.2, -1.35, 9.95), (0.38, 0.5, 0.42)), ball((2.8, -0.35, 8.75), (0.36, 0.4, 0.55))]),
        "boots": joined(boots),
        "base": turned([(0, 0), (3.3, 0), (3.4, 0.1), (3.4, 0.45), (3.3, 0.55), (0, 0.55)], (0, 0, 0), (0, 0, 1), 96),
    }


def bust() -> dict[str, Mesh]:
    """Return head and shoulders on a socle, 12 cm tall."""
    shoulders = ringed(
        [
            (2.4, 1.5, 1.1, 0.2),
            (3.2, 3.0, 1.7, 0.2),
            (4.6, 3.7, 1.85, 0.25),
            (5.6, 3.1, 1.6, 0.3),
            (6.3, 1.3, 1.15, 0.3),
        ],
        2.2,
    )
    collar = turned([(1.18, 0), (1.45, 0.05), (1.5, 0.55), (1.3, 0.75), (1.15, 0.5)], (0, 0.25, 6.0), (0, -0.1, 1), 64)
    return {
        **_head((0.0, 0.0, 9.45), 2.0),
        "neck": limb([(0, 0.3, 5.8), (0, 0.15, 8.2)], [1.15, 1.0], 0.0, 24),
        "coat": shoulders,
        "collar": collar,
        "socle": turned(
            [(0, 0), (1.7, 0), (1.75, 0.25), (1.45, 0.45), (0.8, 0.9), (0.7, 1.8), (1.1, 2.3), (1.35, 2.5), (0, 2.5)],
            (0, 0.2, 0), (0, 0, 1), 96,
        ),
    }  # fmt: skip


def _head(centre: tuple[float, float, float], radius: float) -> dict[str, Mesh]:
    """Return face, ears and hair of a head of a half height, looking to -y."""
    middle = np.array(centre)
    semi = np.array([0.74, 0.9, 1.0]) * radius
    ears = [
        ball(middle + np.array([s * 0.76, 0.1, -0.05]) * radius, np.array([0.09, 0.17, 0.26]) * radius, rows=20)
        for s in (-1, 1)
    ]
    hair = ball(middle + np.array([0, 0.16, 0.16]) * radius, np.array([0.83, 0.93, 0.95]) * radius, _fringe)
    return {"face": ball(centre, semi, _face, 72), "ears": joined(ears), "hair": moved(hair, (0, 0, 0))}


def _face(x: Array, z: Array) -> Array:
    """Return the relief of a face: brow, sockets, eyes, nose, cheeks, lips, chin."""

    def bump(x0: float, z0: float, wide: float, high: float) -> Array:
        return np.asarray(np.exp(-(((np.abs(x) - x0) / wide) ** 2) - ((z - z0) / high) ** 2))

    ridge = np.clip((0.2 - z) / 0.4, 0, 1) * np.clip((z + 0.32) / 0.08, 0, 1)
    nose = 0.27 * ridge * np.exp(-((x / (0.075 + 0.08 * ridge)) ** 2))
    return np.asarray(
        nose
        + 0.05 * np.exp(-(((z - 0.28) / 0.07) ** 2) - (x / 0.5) ** 4)
        - 0.12 * bump(0.27, 0.13, 0.14, 0.09)
        + 0.07 * bump(0.27, 0.12, 0.09, 0.06)
        + 0.05 * bump(0.4, -0.12, 0.2, 0.16)
        + 0.06 * bump(0.0, -0.455, 0.17, 0.03)
        + 0.06 * bump(0.0, -0.54, 0.14, 0.035)
        - 0.03 * bump(0.0, -0.495, 0.2, 0.018)
        + 0.13 * bump(0.0, -0.74, 0.2, 0.12)
        - 0.1 * bump(0.62, -0.55, 0.25, 0.25)
    )


def _fringe(x: Array, z: Array) -> Array:
    """Return the relief that keeps the hair off the face: it draws in before brow and cheeks."""
    return np.asarray(-0.34 / (1 + np.exp((z - 0.42 - 0.1 * np.cos(9 * x)) / 0.04)) * np.exp(-((x / 0.72) ** 6)))
