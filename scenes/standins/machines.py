"""An aircraft, a tank and a car; they stand on the table with their front to -y."""

from __future__ import annotations

import numpy as np

from scenes.demo.sweeps import Mesh, joined, loft, outward

from .shapes import Array, ball, box, limb, slab, turned, wheel


def aircraft() -> dict[str, Mesh]:
    """Return a low-wing single-engined aircraft, 20 cm long, on its wheels."""
    profile = [(0, 0), (0.75, 0.4), (1.05, 1.6), (1.15, 4), (1.15, 8), (0.9, 12), (0.5, 16.5), (0.22, 19.3), (0, 19.6)]
    gear = [wheel((s * 3.0, -5.6, 0.75), 0.75, 0.55) for s in (-1, 1)]
    tail = wheel((0, 8.6, 2.55), 0.35, 0.3)
    return {
        "fuselage": turned(profile, (0, -9.6, 4.0), (0, 1, -0.015), 64),
        "wings": joined([_wing(s, (0.6, -4.6, 3.35), (9.8, -3.7, 4.1), (3.3, 1.7), 0.42) for s in (-1, 1)]),
        "tailplane": joined([_wing(s, (0.2, 8.2, 4.15), (3.5, 8.9, 4.2), (1.7, 1.0), 0.2) for s in (-1, 1)]),
        "fin": _fin(),
        "canopy": ball((0, -2.6, 4.75), (0.72, 2.1, 0.95)),
        "spinner": turned([(0, 0), (0.75, 0), (0.72, 0.35), (0.45, 0.95), (0, 1.25)], (0, -9.55, 4.0), (0, -1, 0), 48),
        "propeller": joined([_blade(angle) for angle in (20, 140, 260)]),
        "struts": joined(
            [limb([(s * 3.0, -5.1, 3.4), (s * 3.0, -5.5, 0.9)], [0.2, 0.16], 0.0, 12) for s in (-1, 1)]
            + [limb([(0, 8.3, 3.6), (0, 8.6, 2.6)], [0.14, 0.1], 0.0, 12)]
        ),
        "tyres": joined([gear[0][0], gear[1][0], tail[0]]),
        "hubs": joined([gear[0][1], gear[1][1], tail[1]]),
        "stand": limb([(0, 8.6, 0.0), (0, 8.6, 2.3)], [0.6, 0.12], 0.0, 12),
    }


def tank() -> dict[str, Mesh]:
    """Return a tracked tank with a turret, 16 cm long without its barrel."""
    places = np.linspace(-5.6, 5.6, 6)
    wheels = [wheel((s * 3.35, y, 1.05), 0.95, 0.9) for s in (-1, 1) for y in places]
    hull = [(-7.6, 2.3), (-6.2, 3.5), (6.9, 3.5), (7.4, 2.6), (6.6, 1.2), (-6.6, 1.2)]
    return {
        "hull": joined([_across(hull, 5.6), box((8.6, 14.2, 0.25), (0, 0, 2.75), 0.05)]),
        "turret": joined([_turret(), box((1.2, 1.2, 0.3), (0.9, 1.2, 5.4), 0.1)]),
        "barrel": joined([limb([(0, -2.6, 4.55), (0, -9.6, 4.75)], [0.32, 0.2], 0.0, 40),
                          turned([(0, 0), (0.32, 0), (0.34, 0.8), (0, 0.8)], (0, -9.2, 4.74), (0, -1, 0.03), 32)]),
        "tracks": joined([_track(s) for s in (-1, 1)]),
        "road wheels": joined([part[1] for part in wheels]),
        "wheel rims": joined([part[0] for part in wheels]),
        "stowage": joined([box((1.1, 2.4, 0.9), (3.2, 3.9, 3.0), 0.15), box((1.1, 1.6, 0.7), (-3.2, 4.6, 3.0), 0.12)]),
    }  # fmt: skip


def car() -> dict[str, Mesh]:
    """Return a saloon car, 18 cm long."""
    body = [(-8.9, 1.3), (-9.0, 2.4), (-8.2, 3.0), (-4.2, 3.45), (5.6, 3.6), (8.6, 3.3), (9.0, 2.4), (8.8, 1.3)]
    cabin = [(-4.3, 3.3), (-1.6, 5.4), (-0.9, 5.6), (3.0, 5.55), (3.8, 5.3), (6.0, 3.45)]
    glass = [(-3.7, 3.55), (-1.5, 5.2), (3.3, 5.2), (5.0, 3.7)]
    screen = [(-2.5, -1.1), (2.5, -1.1), (2.2, 1.1), (-2.2, 1.1)]
    wheels = [wheel((s * 3.25, y, 1.25), 1.25, 0.95) for s in (-1, 1) for y in (-5.6, 5.4)]
    lamps = [ball((s * 2.5, -8.7, 2.35), (0.55, 0.3, 0.35), rows=20) for s in (-1, 1)]
    return {
        "body": joined([_across(body, 7.4, 0.5), _across(cabin, 5.9, 0.5)]),
        "side windows": _across(glass, 6.02, 0.1),
        "windscreen": slab(screen, 0.1, (0, -3.0, 4.45), (0, -0.62, 0.8), (1, 0, 0)),
        "rear window": slab(screen, 0.1, (0, 4.98, 4.5), (0, 0.67, 0.75), (-1, 0, 0)),
        "bumpers": joined([box((7.0, 0.7, 0.7), (0, y, 1.2), 0.2) for y in (-8.95, 8.95)]),
        "head lamps": joined(lamps),
        "tyres": joined([part[0] for part in wheels]),
        "hubs": joined([part[1] for part in wheels]),
    }  # fmt: skip


def _across(outline: list[tuple[float, float]], width: float, taper: float = 0.25) -> Mesh:
    """Return an outline of (y, z) drawn out along x, its flanks drawn in by `taper`."""
    points = np.array(outline)
    middle = points.mean(axis=0)
    size = np.ptp(points, axis=0).min()
    rings = []
    for x, inset in ((-0.5, 1.0), (-0.46, 0.35), (-0.4, 0.0), (0.4, 0.0), (0.46, 0.35), (0.5, 1.0)):
        drawn = middle + (points - middle) * (1 - taper * inset / size)
        rings.append(np.column_stack([np.full(len(points), x * width), drawn]))
    return outward(loft(np.stack(rings)))


def _wing(
    side: int,
    root: tuple[float, float, float],
    tip: tuple[float, float, float],
    chords: tuple[float, float],
    thick: float,
) -> Mesh:
    """Return a tapered wing with the section of a wing, from root to tip; how deep it is at both."""
    turn = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    along, half = (1 - np.cos(turn)) / 2, np.sin(turn) * (0.35 + 0.65 * (1 + np.cos(turn)) / 2)
    rings = []
    for share in np.linspace(0, 1, 9):
        at = np.array(root) + share * (np.array(tip) - root)
        deep, high = (1 - share) * chords[0] + share * chords[1], thick * (1 - 0.6 * share)
        rounding = np.sqrt(max(1 - (max(share - 0.9, 0) / 0.1) ** 2, 0.04))
        rings.append(
            np.column_stack(
                [np.full(40, side * at[0]), at[1] + (along - 0.5) * deep * rounding + 0.5 * deep, at[2] + half * high]
            )
        )
    return outward(loft(np.stack(rings)))


def _fin() -> Mesh:
    upright = _wing(1, (0.0, 7.4, 0.0), (2.6, 8.6, 0.0), (2.3, 1.1), 0.2)
    turned_up = upright.vertices @ np.array([[0, 0, 1], [0, 1, 0], [1, 0, 0.0]])
    return outward(Mesh(turned_up + np.array([0, 0, 4.1]), upright.faces))


def _blade(degrees: float) -> Mesh:
    """Return one twisted blade of the propeller."""
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    rings = []
    for share in np.linspace(0, 1, 12):
        wide = 0.3 * np.sin(np.pi * (0.15 + 0.8 * share)) + 0.05
        twist = 1.1 - 0.75 * share
        flat = np.column_stack([np.cos(turn) * wide, np.sin(turn) * 0.06])
        x = flat[:, 0] * np.cos(twist) - flat[:, 1] * np.sin(twist)
        y = flat[:, 0] * np.sin(twist) + flat[:, 1] * np.cos(twist)
        rings.append(np.column_stack([x, y, np.full(24, 0.4 + 2.3 * share)]))
    mesh = loft(np.stack(rings))
    angle = np.radians(degrees)
    spin = np.array([[np.cos(angle), 0, -np.sin(angle)], [0, 1, 0], [np.sin(angle), 0, np.cos(angle)]])
    return outward(Mesh(mesh.vertices @ spin + np.array([0, -9.8, 4.0]), mesh.faces))


def _turret() -> Mesh:
    turn = 2 * np.pi * np.arange(48) / 48
    x, y = (np.sign(f) * np.abs(f) ** 0.75 for f in (np.cos(turn), np.sin(turn)))
    levels = [(3.5, 2.3, 3.0), (4.1, 2.55, 3.2), (4.9, 2.2, 2.8), (5.4, 1.75, 2.2), (5.5, 1.2, 1.6)]
    return outward(loft(np.stack([np.column_stack([w * x, d * y, np.full(48, z)]) for z, w, d in levels])))


def _track(side: int) -> Mesh:
    """Return a closed track with its links as ripples."""
    path = _stadium(7.0, 1.25, 160)
    out = path - np.column_stack([np.clip(path[:, 0], -5.9, 5.9), np.full(len(path), 1.25)])
    out /= np.linalg.norm(out, axis=1, keepdims=True)
    ripple = 0.05 * np.sign(np.sin(2 * np.pi * np.arange(len(path)) / 4 + 0.1))
    outer, inner = path + out * (0.02 + ripple[:, None]) - out * 0.05, path - out * 0.22
    left, right = side * 3.35 - 0.65, side * 3.35 + 0.65
    rings = [
        [(left, *out_), (right, *out_), (right, *in_), (left, *in_)] for out_, in_ in zip(outer, inner, strict=True)
    ]
    return outward(loft(np.array(rings), loop=True))


def _stadium(half: float, radius: float, count: int) -> Array:
    """Return points (count, 2) of (y, z) evenly along two straights and two half circles, on the table."""
    straight, bend = 2 * (half - radius), np.pi * radius
    at = np.arange(count) / count * (2 * straight + 2 * bend)
    points = []
    for s in at:
        if s < straight:
            points.append((-straight / 2 + s, 0.0))
        elif s < straight + bend:
            angle = (s - straight) / radius
            points.append((straight / 2 + radius * np.sin(angle), radius - radius * np.cos(angle)))
        elif s < 2 * straight + bend:
            points.append((straight / 2 - (s - straight - bend), 2 * radius))
        else:
            angle = (s - 2 * straight - bend) / radius
            points.append((-straight / 2 - radius * np.sin(angle), radius + radius * np.cos(angle)))
    return np.array(points)
