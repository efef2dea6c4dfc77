"""A low-wing aircraft with one engine, standing on its wheels, tail down."""

from __future__ import annotations

import numpy as np

from scenes.builtin.shapes.primitives import ball, limb, mirrored, oval, rod, slab, through, turned, wheel
from scenes.builtin.shapes.sweeps import Mesh, joined, loft, outward

_BODY = [
    (-9.4, 0.72, 0.72, -0.72),
    (-9.0, 0.84, 0.84, -0.9),
    (-7.0, 0.98, 1.05, -1.2),
    (-4.0, 1.05, 1.12, -1.35),
    (-1.0, 1.03, 1.2, -1.3),
    (1.0, 0.95, 1.32, -1.12),
    (4.0, 0.72, 1.02, -0.75),
    (7.0, 0.42, 0.72, -0.3),
    (9.0, 0.2, 0.55, 0.0),
    (10.0, 0.05, 0.42, 0.2),
]
"""(y, half width, top, bottom) about the line of thrust."""
_MAIN, _TAIL = (-5.2, -3.6, 0.85), (8.3, -0.75, 0.4)
"""Where the wheels turn, (y, z), and their radii."""


def aircraft() -> dict[str, Mesh]:
    """Return the aircraft, 20 cm long: built level, then let down on its tail wheel."""
    wheels = [wheel((s * 2.9, *_MAIN[:2]), _MAIN[2], 0.55) for s in (-1, 1)] + [
        wheel((0, *_TAIL[:2]), _TAIL[2], 0.28, 28)
    ]
    level = {
        "fuselage": _fuselage(),
        "wings": joined(_wing(s, (0.3, -3.0, -0.95), (11.0, -2.6, 0.25), (3.9, 1.7), 0.3) for s in (-1, 1)),
        "tailplane": joined(_wing(s, (0.05, 8.0, 0.5), (3.9, 8.5, 0.6), (2.2, 1.2), 0.13) for s in (-1, 1)),
        "fin": _fin(),
        "radiator": ball((0, -0.2, -1.3), (0.55, 2.0, 0.5)),
        "canopy": ball((0, -1.2, 1.05), (0.66, 2.0, 0.85), 32),
        "canopy frame": joined(_hoop(y) for y in (-2.2, -1.5, -0.3, 0.3)),
        "exhausts": joined(
            limb(
                [(s * 0.85, y, 0.35), (s * 1.12, y + 0.12, 0.33), (s * 1.2, y + 0.4, 0.33)],
                [0.11, 0.1, 0.1],
                0.0,
                14,
                12,
            )
            for s in (-1, 1)
            for y in (-8.0, -7.45, -6.9, -6.35, -5.8)
        ),
        "guns": joined(
            rod((s * x, -2.6, z), (s * x, -5.3, z), (0.09, 0.08), 14)
            for s in (-1, 1)
            for x, z in ((4.3, -0.5), (4.9, -0.43))
        ),
        "spinner": turned(
            [(0, 0), (0.74, 0), (0.75, 0.1), (0.7, 0.5), (0.5, 1.05), (0.25, 1.35), (0, 1.45)],
            (0, -9.42, 0),
            (0, -1, 0),
            48,
        ),
        "propeller": joined(_blade(angle) for angle in (35, 155, 275)),
        "struts": joined(
            [*mirrored(_leg), limb([(0, 7.9, 0.1), (0, 8.2, -0.4), (0, 8.3, -0.75)], [0.12, 0.09], 0.0, 16, 14)]
        ),
        "gear doors": joined(
            slab(
                [(-0.45, -0.9), (0.4, -0.9), (0.5, 0.9), (-0.55, 0.9)],
                0.06,
                (s * 3.28, -5.1, -2.5),
                (s, 0, 0.05),
                (0, 1, 0),
                round_cm=0.15,
            )
            for s in (-1, 1)
        ),
        "tyres": joined(part[0] for part in wheels),
        "hubs": joined(part[1] for part in wheels),
    }
    away, up, drop = _TAIL[0] - _MAIN[0], _TAIL[1] - _MAIN[1], _MAIN[2] - _TAIL[2]
    angle = np.arctan2(up, away) - np.arcsin(drop / np.hypot(away, up))
    tilt = np.array([[1, 0, 0], [0, np.cos(angle), -np.sin(angle)], [0, np.sin(angle), np.cos(angle)]])
    ground = tilt[1:, 2] @ _MAIN[:2] - _MAIN[2]
    return {name: Mesh(mesh.vertices @ tilt - (0, 0, ground), mesh.faces) for name, mesh in level.items()}


def _fuselage() -> Mesh:
    y = -9.4 + 19.4 * (1 - np.cos(np.linspace(0, np.pi, 72))) / 2
    ring = oval(56, 2.3)
    rings = [
        np.column_stack([half * ring[:, 0], np.full(56, at), (top + low) / 2 + (top - low) / 2 * ring[:, 1]])
        for at, (half, top, low) in zip(y, through(_BODY, y), strict=True)
    ]
    return outward(loft(np.stack(rings)))


def _wing(
    side: int, root: tuple[float, ...], tip: tuple[float, ...], chords: tuple[float, float], thick: float
) -> Mesh:
    """Return a tapered wing, its tip round; `chords` is how deep it is at both ends, `thick` half how thick."""
    turn = 2 * np.pi * np.arange(40) / 40
    along = (1 - np.cos(turn)) / 2
    half = np.sin(turn) * (0.45 + 0.55 * (1 + np.cos(turn)) / 2) * 1.2
    rings = []
    for share in np.sin(np.linspace(0, np.pi / 2, 30)):
        at = np.array(root) + share * (np.array(tip) - root)
        rounding = np.sqrt(max(1 - (max(share - 0.86, 0) / 0.14) ** 2, 0.03))
        deep = ((1 - share) * chords[0] + share * chords[1]) * rounding
        high = thick * (1 - 0.6 * share) * rounding**0.7
        rings.append(np.column_stack([np.full(40, side * at[0]), at[1] + (along - 0.4) * deep, at[2] + half * high]))
    return outward(loft(np.stack(rings)))


def _fin() -> Mesh:
    flat = _wing(1, (0.0, 8.3, 0.0), (3.0, 9.2, 0.0), (2.9, 1.5), 0.13)
    return outward(Mesh(flat.vertices[:, [2, 1, 0]] + np.array([0, 0, 0.3]), flat.faces))


def _hoop(y: float) -> Mesh:
    """Return one frame of the canopy."""
    size = np.sqrt(1 - ((y + 1.2) / 2.0) ** 2)
    turn = np.linspace(-0.1, np.pi + 0.1, 30)
    arch = [(0.66 * size * np.cos(t), y, 1.05 + 0.85 * size * np.sin(t)) for t in turn]
    return limb(arch, [0.05, 0.05], 0.0, 40, 10)


def _blade(degrees: float) -> Mesh:
    """Return one twisted blade of the propeller, its tip round."""
    ring = oval(24)
    rings = []
    for share in np.sin(np.linspace(0, np.pi / 2, 24)):
        wide = float(np.interp(share, (0, 0.15, 0.5, 0.8, 1), (0.14, 0.2, 0.36, 0.33, 0.2)))
        wide *= np.sqrt(max(1 - (max(share - 0.85, 0) / 0.15) ** 2, 0.01))
        twist = 1.15 - 0.75 * share
        x, y = ring[:, 0] * wide, ring[:, 1] * (0.13 - 0.09 * min(2 * share, 1))
        flat = (x * np.cos(twist) - y * np.sin(twist), x * np.sin(twist) + y * np.cos(twist))
        rings.append(np.column_stack([*flat, np.full(24, 0.4 + 2.7 * share)]))
    mesh = loft(np.stack(rings))
    angle = np.radians(degrees)
    spin = np.array([[np.cos(angle), 0, -np.sin(angle)], [0, 1, 0], [np.sin(angle), 0, np.cos(angle)]])
    return outward(Mesh(mesh.vertices @ spin + np.array([0, -9.85, 0]), mesh.faces))


def _leg(side: int) -> Mesh:
    """Return one main leg: strut, sliding tube, axle."""
    hip, foot = np.array([side * 3.2, -4.4, -0.6]), np.array([side * 3.22, _MAIN[0], _MAIN[1]])
    knee = hip + 0.65 * (foot - hip)
    return joined(
        [
            rod(hip, knee, (0.2, 0.18)),
            rod(knee - 0.05 * (foot - hip), foot, (0.12, 0.12)),
            rod(foot + np.array([side * 0.05, 0, 0]), foot - np.array([side * 0.6, 0, 0]), (0.12, 0.12)),
        ]
    )
