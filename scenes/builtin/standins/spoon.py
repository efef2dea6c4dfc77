"""Painted plastic spoons, as builders judge topcoats by: one shows its back, the other its bowl."""

from __future__ import annotations

import numpy as np

from scenes.builtin.shapes.primitives import through, turned
from scenes.builtin.shapes.sweeps import Mesh, joined, loft, outward, placed

_OUTLINE = [
    (0.0, 0.62, 0.0, 0.0),
    (3.5, 0.56, 0.0, 0.0),
    (7.0, 0.42, 0.0, 0.0),
    (9.2, 0.32, 0.1, 0.0),
    (9.9, 0.36, 0.18, 0.03),
    (10.5, 0.66, 0.18, 0.18),
    (11.2, 1.22, 0.12, 0.5),
    (12.0, 1.6, 0.04, 0.8),
    (12.9, 1.72, 0.0, 0.92),
]
"""(cm up, half width, place of the rim in depth, depth of the bowl)."""
_TOP, _TIP = _OUTLINE[-1][0], 16.1
_LEAN, _TURN = np.radians(9), np.radians(18)


def spoon() -> dict[str, Mesh]:
    """Return two plastic spoons that stand apart in a lump of clay, a back and a bowl to the viewer: 16 cm."""
    clay = [(0, 0), (1.9, 0), (2.05, 0.25), (1.9, 0.65), (1.4, 1.05), (0.7, 1.3), (0, 1.35)]
    return {
        "spoon": joined([_leant(_spoon(), -1, _TURN), _leant(_spoon(), 1, np.pi - _TURN)]),
        "clay": turned(clay, (0, 0, 0), (0, 0, 1), 96),
    }


def _spoon() -> Mesh:
    """Return an upright spoon, its back to -y."""
    below = np.linspace(0, _TOP, 64)
    rise = np.sin(np.linspace(0, np.pi / 2, 30))[1:-1]
    round_off = np.sqrt(1 - rise**2)
    widest = _OUTLINE[-1]
    tip = [
        _TOP + (_TIP - _TOP) * rise,
        widest[1] * round_off**1.12,  # egg-shaped, its point away from the handle
        widest[2] + 0.25 * rise**2,
        widest[3] * round_off**1.3,
    ]
    table = np.concatenate([np.column_stack([below, through(_OUTLINE, below)]), np.column_stack(tip)])
    turn = 2 * np.pi * np.arange(64) / 64
    across, side = np.sin(turn), -np.sign(np.cos(turn)) * np.abs(np.cos(turn)) ** 0.6
    rings = []
    for z, half, rim, deep in table:
        thick = min(0.09 + 0.05 * (deep == 0), 0.6 * half)
        rib = 0.06 * np.exp(-((across / 0.35) ** 2)) * np.exp(-((deep / 0.2) ** 2))
        y = rim - deep * (1 - across**2) ** 0.85 + (thick + rib) * side
        rings.append(np.column_stack([half * across, y, np.full(64, z)]))
    return outward(loft(np.stack(rings)))


def _leant(mesh: Mesh, side: int, turn: float) -> Mesh:
    """Return a spoon turned about its handle and leant to a side (-1 left, 1 right), its foot in the clay."""
    up = (side * np.sin(_LEAN), 0.0, np.cos(_LEAN))
    return placed(mesh, (side * 0.55, 0.0, 0.12), up, (np.cos(turn), np.sin(turn), 0.0))
