"""A ship on a cradle, and the painted spoon that topcoats are judged by."""

from __future__ import annotations

import numpy as np

from scenes.demo.sweeps import Mesh, joined, loft, outward

from .shapes import ball, box, limb, turned


def ship() -> dict[str, Mesh]:
    """Return a small freighter on a cradle, 26 cm long, her bow to -y."""
    stack = turned(
        [(0, 0), (0.62, 0), (0.56, 2.2), (0.6, 2.3), (0.45, 2.3), (0.4, 2.2), (0, 2.2)], (0, 6.4, 5.9), (0, 0.12, 1)
    )
    masts = [limb([(0, y, 4.0), (0, y + 0.2, z)], [0.13, 0.06], 0.0, 16) for y, z in ((-6.0, 10.5), (1.0, 9.5))]
    booms = [limb([(0, -5.9, 4.9), (s * 0.7, -2.6, 7.2)], [0.09, 0.05], 0.0, 12) for s in (-1, 1)]
    return {
        "hull": _hull(),
        "deck": _hull(top=True),
        "superstructure": joined(
            [
                box((3.2, 4.4, 1.5), (0, 6.2, 3.7)),
                box((2.6, 2.6, 1.1), (0, 5.4, 5.2)),
                box((3.4, 1.0, 0.2), (0, 4.4, 6.3), 0.05),
            ]
        ),
        "funnel": stack,
        "hatches": joined([box((2.0, 2.4, 0.45), (0, y, 3.55), 0.08) for y in (-8.2, -3.6, -0.9)]),
        "masts": joined([*masts, *booms]),
        "boats": joined([ball((s * 1.75, 7.2, 5.5), (0.35, 1.0, 0.32), rows=20) for s in (-1, 1)]),
        "cradle": joined(
            [box((3.2, 0.7, 0.9), (0, y, 0.0), 0.08) for y in (-6.0, 6.0)] + [box((2.0, 16.0, 0.35), (0, 0, 0.0), 0.1)]
        ),
    }


def _hull(top: bool = False) -> Mesh:
    """Return the hull below its rail, or the deck inside it."""
    stations = np.linspace(0, 1, 41)
    around = np.linspace(-1, 1, 33)
    rings = []
    for s in stations:
        full = np.clip(np.sin(np.pi * np.clip(0.08 + 0.9 * s, 0, 1)) ** 0.55, 0.03, 1)
        sheer = 3.6 + 0.9 * (1 - s) ** 3 + 0.3 * s**4
        keel = 0.75 + 1.6 * np.clip((s - 0.9) / 0.1, 0, 1) + 0.5 * np.clip((0.05 - s) / 0.05, 0, 1)
        y = -13.0 + 26.0 * s - 0.9 * (1 - s) ** 4
        if top:
            edge = 1.9 * full * 0.93
            rings.append(
                np.array([[x * edge, y * 0.98, sheer - 0.35 + z] for x, z in ((-1, 0), (1, 0), (1, 0.12), (-1, 0.12))])
            )
            continue
        x = 1.9 * full * np.sign(around) * np.abs(around) ** 0.8
        z = keel + (sheer - keel) * np.abs(around) ** 3.2
        outer = np.column_stack([x, np.full(33, y), z])
        inner = outer[::-1] * (0.93, 1, 1) + (0, 0, 0.0)
        inner[:, 2] = np.maximum(inner[:, 2], sheer - 0.35)
        inner[0, 2] = inner[-1, 2] = sheer
        rings.append(np.concatenate([outer, inner]))
    return outward(loft(np.stack(rings)))


def spoon() -> dict[str, Mesh]:
    """Return a plastic spoon stood upright in a lump of clay, its back to the viewer, as it is painted: 16 cm."""
    stations = np.linspace(0, 1, 72)
    turn = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    rings = []
    for s in stations:
        z = 0.6 + 15.4 * s
        in_bowl = np.clip((s - 0.66) / 0.34, 0, 1)
        handle = 0.36 + 0.1 * (1 - s) ** 2
        bowl = 1.75 * np.sqrt(max(1 - (2 * in_bowl - 1) ** 2, 1e-4)) * (0.86 + 0.14 * np.cos(np.pi * in_bowl))
        half = max(bowl, handle) if in_bowl < 0.3 else bowl
        deep = -0.85 * np.sin(np.pi * in_bowl) ** 1.3 * (half / 1.75)
        across, thick = np.cos(turn), np.sin(turn)
        bulge = deep * (1 - across**2)
        rings.append(np.column_stack([across * half, bulge + thick * (0.11 + 0.03 * (in_bowl == 0)), np.full(48, z)]))
    clay = turned([(0, 0), (1.9, 0), (2.0, 0.3), (1.7, 0.9), (0.9, 1.35), (0, 1.45)], (0, 0, 0), (0, 0, 1), 64)
    return {"spoon": outward(loft(np.stack(rings))), "clay": clay}
