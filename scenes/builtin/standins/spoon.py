"""The painted plastic spoon that builders judge topcoats by."""

from __future__ import annotations

import numpy as np

from scenes.builtin.shapes.primitives import through, turned
from scenes.builtin.shapes.sweeps import Mesh, loft, outward

_OUTLINE = [
    (0.0, 0.46, 0.0, 0.0),
    (4.0, 0.4, 0.0, 0.0),
    (8.6, 0.36, 0.05, 0.0),
    (10.0, 0.4, 0.1, 0.05),
    (10.8, 0.72, 0.08, 0.25),
    (11.8, 1.3, 0.0, 0.62),
    (13.0, 1.66, -0.05, 0.86),
    (13.9, 1.68, -0.02, 0.84),
]
"""(cm up, half width, place of the rim in depth, depth of the bowl)."""
_TOP, _TIP = 13.9, 15.9


def spoon() -> dict[str, Mesh]:
    """Return a plastic spoon stood upright in a lump of clay, its back to the viewer, as it is painted: 16 cm."""
    below = np.linspace(0, _TOP, 64)
    rise = np.sin(np.linspace(0, np.pi / 2, 30))[1:-1]
    round_off = np.sqrt(1 - rise**2)
    table = np.concatenate(
        [
            np.column_stack([below, through(_OUTLINE, below)]),
            np.column_stack(
                [_TOP + (_TIP - _TOP) * rise, 1.68 * round_off, -0.02 + 0.22 * rise**2, 0.84 * round_off**1.3]
            ),
        ]
    )
    turn = 2 * np.pi * np.arange(64) / 64
    across, side = np.sin(turn), -np.sign(np.cos(turn)) * np.abs(np.cos(turn)) ** 0.6
    rings = []
    for z, half, rim, deep in table:
        thick = min(0.09 + 0.05 * (deep == 0), 0.6 * half)
        rib = 0.06 * np.exp(-((across / 0.35) ** 2)) * np.exp(-((deep / 0.2) ** 2))
        y = rim - deep * (1 - across**2) ** 0.85 + (thick + rib) * side
        rings.append(np.column_stack([half * across, y, np.full(64, z + 0.1)]))
    clay = [(0, 0), (1.9, 0), (2.05, 0.25), (1.9, 0.65), (1.4, 1.05), (0.7, 1.3), (0, 1.35)]
    return {"spoon": outward(loft(np.stack(rings))), "clay": turned(clay, (0, 0, 0), (0, 0, 1), 96)}
