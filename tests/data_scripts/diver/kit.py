"""What the diver carries: belt and weights, chest weight and its lines, knife, hand lamp."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.solids import common, step
from scenes.builtin.shapes.sweeps import (
    Mesh,
    joined,
    loft,
    moved,
    placed,
    prism,
    rectangle,
    revolved,
    rounded,
    spline,
    tube,
)

from . import pose
from .boots import girdle
from .corselet import plate
from .fittings import dome, hex_nut, ring_of, rod
from .shaping.noise import fractal
from .shaping.surfacing import normals_of, onto, surface
from .strap import band
from .suit import body

BELT_AXIS = np.array([-0.05, -0.06, 1.0])
CHEST = np.array([0.0, -2.06, 10.02])
CHEST_UP = np.array([0.0, -0.1, 1.0])


def kit_parts() -> dict[str, Mesh]:
    """Return the carried things by name."""
    path = girdle(_trunk, pose.WAIST, BELT_AXIS, 240)
    normals = normals_of(_trunk, path)
    parts = {
        "belt": band(path + 0.03 * normals, normals, rectangle(0.52, 0.16, 0.05, 2)),
        "belt buckle": _buckle(path, normals),
        "weights": joined([*_blocks(path, normals), _chest_weight()]),
        "weight lines": joined(_lines()),
    }
    return parts | _knife() | _lamp()


def _trunk(points: Array) -> Array:
    """Return the body without arms or legs, rounded off, for what is wound about the waist."""
    return np.maximum(body(points), np.abs(points[:, 0]) - 2.6)


def _at(path: Array, degrees: float) -> int:
    """Return the number of the path point that lies in a direction round the waist: 0 in front, + left."""
    turn = np.degrees(np.arctan2(path[:, 0], -path[:, 1] + pose.WAIST[1]))
    return int(np.argmin(np.abs((turn - degrees + 180) % 360 - 180)))


def _buckle(path: Array, normals: Array) -> Mesh:
    at = _at(path, 0)
    frame = rounded([(-0.32, -0.36), (0.32, -0.36), (0.32, 0.36), (-0.32, 0.36)], 0.1, loop=True)
    normal, across = normals[at], np.cross(normals[at], (1.0, 0.0, 0.0))
    loop = path[at] + 0.15 * normal + frame[:, :1] * (1.0, 0, 0) + frame[:, 1:] * across
    tongue = rod(path[at] + 0.17 * normal - (0.34, 0, 0), path[at] + 0.17 * normal + (0.34, 0, 0), 0.045)
    return joined([band(loop, np.tile(normal, (len(loop), 1)), rectangle(0.1, 0.08, 0.025, 2)), tongue])


def _blocks(path: Array, normals: Array) -> list[Mesh]:
    """Return the lead blocks threaded on the belt."""
    blocks = []
    for degrees in (-62, -31, 31, 115, 150, 180, -150, -115):
        at = _at(path, degrees)
        block = prism(rectangle(0.86, 0.72, 0.09), 0.3, 0.06)
        pin = dome(0.07, 0.04)
        pins = [moved(pin, (x, 0, 0.3)) for x in (-0.28, 0.28)]
        blocks.append(
            placed(joined([block, *pins]), path[at] + 0.04 * normals[at], normals[at], path[at] - path[at - 1])
        )
    return blocks


def _chest_weight() -> Mesh:
    """Return the shield-shaped lead on the chest, dished, with a raised border."""

    def field(points: Array) -> Array:
        flat = np.maximum(np.abs(points[:, 0]) - 0.72 + 0.34 * step(points[:, 1], -0.1, -0.85), 0.0)
        tall = np.maximum(np.abs(points[:, 1] + 0.02) - 0.6, 0.0)
        edge = np.hypot(flat, tall) - 0.14
        curve = points[:, 2] + 0.16 * points[:, 0] ** 2
        border = 0.06 * step(edge, -0.2, -0.14)
        return common(edge, np.abs(curve) - 0.17 - border + 0.01 * fractal(points, 0.5, 2, 61), 0.12)

    shield = surface(field, (-1.0, -0.95, -0.5), (1.0, 0.95, 0.4), 0.055)
    return placed(shield, CHEST, np.cross((1.0, 0, 0), CHEST_UP), (1, 0, 0))


def _lines() -> list[Mesh]:
    """Return the cords from the chest weight up over the corselet, and the rings they end in."""
    lines = []
    for side in (-1, 1):
        knots = np.array(
            [
                (0.5, -2.1, 10.35),
                (0.6, -2.2, 11.0),
                (0.82, -1.9, 11.7),
                (1.12, -1.25, 12.4),
                (1.3, -0.3, 12.75),
                (1.25, 0.6, 12.65),
                (0.95, 1.5, 12.2),
                (0.7, 2.2, 11.0),
                (0.6, 2.05, 9.6),
                (0.55, 1.8, 9.0),
            ]
        ) * (side, 1, 1)
        path = spline(knots, 150)
        for _ in range(3):
            near = np.abs(plate(path)) < 0.5
            high = near & (path[:, 2] > 11.3)
            path[high] = onto(plate, path[high], 0.2)
        for _ in range(14):  # the bend where the cord leaves the plate
            path[1:-1] = (path[:-2] + path[1:-1] + path[2:]) / 3
        lifted = path + 0.055 * normals_of(plate, path)
        turns = np.arange(len(path))
        lines.append(tube(lifted, 0.062 + 0.008 * np.cos(turns * 2.1), 12))
    return lines


def _knife() -> dict[str, Mesh]:
    """Return knife and sheath, hung from the belt at the left hip along the thigh."""
    top, way = np.array([2.3, -0.62, 8.75]), np.array([0.18, -0.3, -1.0])
    way = way / np.linalg.norm(way)
    outward = np.array([0.85, -0.5, 0.0])
    levels = [(0.0, 0.8), (0.02, 1.0), (0.16, 1.0), (0.2, 0.9), (1.5, 0.78), (1.75, 0.62), (1.88, 0.3)]
    shape = rectangle(0.2, 0.5, 0.09)
    sheath = loft(np.stack([np.column_stack([shape * s, np.full(len(shape), z)]) for z, s in levels]))
    bands = [
        loft(
            np.stack(
                [
                    np.column_stack([shape * s, np.full(len(shape), z)])
                    for z, s in ((a, 0.9), (a, 1.02), (a + 0.12, 1.01), (a + 0.12, 0.9))
                ]
            )
        )
        for a in (0.45, 1.2)
    ]
    grip = [(0.0, -0.95), (0.13, -0.95), (0.17, -0.88), (0.17, -0.8)]
    grip += [(0.125 + 0.018 * np.cos(8 * np.pi * t), -0.78 + 0.6 * t) for t in np.linspace(0, 1, 41)]
    grip += [(0.14, -0.16), (0.0, -0.16)]
    guard = moved(prism(rectangle(0.2, 0.62, 0.08), 0.1, 0.03), (0, 0, -0.16))
    parts = {
        "knife": revolved(grip, 24),
        "knife guard": guard,
        "knife sheath": sheath,
        "knife bands": joined(bands),
    }
    return {name: placed(mesh, top, way, outward) for name, mesh in parts.items()}


def _lamp() -> dict[str, Mesh]:
    """Return the hand lamp that hangs by its bail from the right fist."""
    grip = pose.HAND_R
    bar = np.array([0.45, 0.89, 0.06])
    bar = bar / np.linalg.norm(bar)
    turn = np.linspace(0, np.pi, 41)
    drop = grip - (0, 0, 0.62)
    arc = np.stack([np.cos(turn) * 0.62, np.sign(np.sin(turn)) * np.abs(np.sin(turn)) ** 0.55 * 0.62], axis=1)
    bail = drop + arc[:, :1] * bar + arc[:, 1:] * (0, 0, 1.0)
    bail = np.concatenate([[bail[0] - (0, 0, 0.22)], bail, [bail[-1] - (0, 0, 0.22)]])
    low = drop - (0, 0, 2.0)
    cap = [(0, 1.55), (0.66, 1.55), (0.68, 1.6), (0.68, 1.78), (0.6, 1.84), (0.42, 1.98), (0.3, 2.02)]
    cap += [(0.3, 2.1), (0.16, 2.16), (0, 2.16)]
    foot = [(0, 0), (0.64, 0), (0.68, 0.05), (0.68, 0.36), (0.62, 0.42), (0, 0.42)]
    glass = [(0, 0.4), (0.46, 0.4), (0.5, 0.6), (0.5, 1.38), (0.46, 1.57), (0, 1.57)]
    posts = []
    for angle in np.radians(np.arange(20, 380, 60)):
        way = 0.6 * np.array([np.cos(angle), np.sin(angle), 0])
        posts.append(rod(low + way + (0, 0, 0.38), low + way + (0, 0, 1.6), 0.045))
    hoop = revolved(rounded([(0.58, 0.96), (0.65, 0.96), (0.65, 1.04), (0.58, 1.04)], 0.02, loop=True), 48)
    nuts = ring_of(hex_nut(0.14, 0.07), 6, 0.53, 1.84, 50)
    lugs = [rod(bail[i] - 0.13 * bar, bail[i] + 0.13 * bar, 0.07) for i in (0, -1)]
    metal = [revolved(rounded(cap, 0.03), 64), revolved(rounded(foot, 0.03), 64), hoop, nuts]
    metal = [moved(mesh, low) for mesh in metal]
    return {
        "lamp": joined([*metal, *posts, *lugs]),
        "lamp bail": tube(bail, 0.065, 14),
        "lamp glass": moved(revolved(rounded(glass, 0.04), 48), low),
    }
