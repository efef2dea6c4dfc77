"""A bust, in half heights of a head about its centre, then in cm."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.primitives import limb, turned
from scenes.builtin.shapes.solids import step
from scenes.builtin.shapes.sweeps import Mesh, joined, loft, outward

from .head import head
from .torso import shoulders, wrapped


def bust() -> dict[str, Mesh]:
    """Return head and shoulders in an open coat on a socle, 12 cm tall."""
    half = 2.0
    centre = np.array([0, 0, 9.9])
    levels = -4.02 + (4.02 - 1.22) * (1 - np.cos(np.linspace(0, np.pi, 72))) / 2
    body = {
        "neck": limb([(0, 0.24, -2.0), (0, 0.14, 0.1)], [0.54, 0.47], 0.0, 24, 40),
        "shirt": wrapped(shoulders, levels[::3], lambda p: 0 * p[..., 0] - 0.03),
        "coat": joined([_open_coat(levels), _collar()]),
    }
    socle = [
        (0, 0),
        (1.6, 0),
        (1.65, 0.12),
        (1.62, 0.28),
        (1.3, 0.4),
        (0.85, 0.6),
        (0.62, 0.95),
        (0.6, 1.25),
        (0.75, 1.55),
        (1.05, 1.75),
        (1.1, 1.9),
        (1.0, 2.1),
        (0, 2.2),
    ]
    return {
        **head(centre, half, 84),
        **{name: Mesh(mesh.vertices * half + centre, mesh.faces) for name, mesh in body.items()},
        "socle": turned(socle, (0, 0.24, 0), (0, 0, 1), 96),
    }


def _open_coat(levels: Array) -> Mesh:
    """Return a coat over the shoulders, open to a point; columns of its grid run along its edges, so they are clean."""
    edge = np.arctan2(0.34 * np.clip(levels + 3.45, 0.02, 9), 1.0)
    lapel = edge + 0.5 * step(levels, -3.55, -2.6) * step(levels, -1.2, -1.6) + 0.06
    columns = [0, 5, 6, 7, 15, 16, 42]
    half = np.array(
        [
            np.interp(np.arange(43), columns, [0, inner - 0.02, inner, inner + 0.03, outer, outer + 0.03, np.pi])
            for inner, outer in zip(edge, lapel, strict=True)
        ]
    )
    rise = np.interp(np.arange(43), [0, 5, 6, 7, 15, 16, 42], [-0.08, -0.08, 0.1, 0.15, 0.14, 0.06, 0.06])
    turn = np.concatenate([half, -half[:, -2:0:-1]], axis=1)
    whole = np.concatenate([rise, rise[-2:0:-1]])
    taper = step(levels, -1.3, -1.9)[:, None]  # under the collar

    def relief(points: Array) -> Array:
        x, z = points[..., 0], points[..., 2]
        folds = np.sin(4 * np.abs(x) + 5 * z) * step(z, -2.0, -2.6) * step(np.abs(x), 0.8, 1.5)
        return np.asarray(0.01 + whole * taper + 0.03 * folds)

    return wrapped(shoulders, levels, relief, turn=turn)


def _collar() -> Mesh:
    """Return a turned-down collar about the neck, open at the throat, its points longest there."""
    turn = np.linspace(0.42, 2 * np.pi - 0.42, 49)
    front = (1 + np.cos(turn))[:, None] / 2
    fold = np.array([(0.56, -0.2), (0.58, 0.3), (0.63, 0.36), (0.7, 0.32), (0.86, -0.06), (0.82, -0.12)])
    out = fold[:, 0] - 0.06 + front * [0.06, 0.06, 0.06, 0.08, 0.22, 0.2]
    up = fold[:, 1] - 1.42 - front * [0.3, 0.26, 0.26, 0.28, 0.55, 0.55]
    x, y = out * np.sin(turn)[:, None], 0.2 - out * np.cos(turn)[:, None]
    return outward(loft(np.stack([x, y, up], axis=-1)))
