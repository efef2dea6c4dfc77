"""The gloved hands, each closed round a bar, and the cuffs that seal the sleeves."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.solids import round_cone, union
from scenes.builtin.shapes.sweeps import Mesh, joined, placed, revolved, rounded

from . import pose
from .shaping.noise import fractal
from .shaping.solids import box, bump
from .shaping.surfacing import surface

SIZE = 1.2  # heavy gloves, against the bare hand drawn below
FINGER_CM = 0.135
BAR_CM = 0.07


def hand_parts() -> dict[str, Mesh]:
    """Return gloves and cuffs."""
    left_bar = (pose.STAFF_TOP - pose.STAFF_FOOT) / np.linalg.norm(pose.STAFF_TOP - pose.STAFF_FOOT)
    left = Hand(pose.HAND_L, left_bar, np.array(pose.WRIST_L), 1.0)
    right = Hand(pose.HAND_R, np.array([0.45, 0.89, 0.06]), np.array(pose.WRIST_R), 1.0)
    arms = ((pose.ELBOW_L, pose.WRIST_L), (pose.ELBOW_R, pose.WRIST_R))
    return {"gloves": joined([left.mesh(), right.mesh()]), "cuffs": joined([_cuff(*arm) for arm in arms])}


class Hand:
    """A fist round a bar: local z lies along the bar, local x from the wrist to the bar."""

    def __init__(self, bar: Array, along: Array, wrist: Array, side: float) -> None:
        z = along / np.linalg.norm(along)
        reach = bar - wrist
        x = reach - z * (reach @ z)
        x /= np.linalg.norm(x)
        self.axes = np.stack([x, side * np.cross(z, x), z])
        self.origin = bar
        self.wrist = self.axes @ (wrist - bar) / SIZE

    def mesh(self) -> Mesh:
        """Return the glove in the scene."""
        low = np.minimum(self.wrist, (-0.9, -0.6, -0.8)) - 0.6
        local = surface(self.field, low, (0.65, 0.75, 0.95), 0.042)
        return Mesh(SIZE * local.vertices @ self.axes + self.origin, local.faces)

    def field(self, points: Array) -> Array:
        """Return the distance from the glove in the hand's own frame."""
        palm = union(
            [
                box(points + 0.04 * points[:, 2:] * (0, 1, 0), (-0.34, 0.2, 0.0), (0.36, 0.17, 0.44), 0.15),
                round_cone(points, (-0.55, 0.1, -0.1), (-0.4, 0.06, 0.3), (0.2, 0.24)),
            ],
            0.15,
        )
        fingers = [self._finger(points, i) for i in range(4)]
        thumb = union(
            [
                round_cone(points, (-0.55, 0.04, 0.3), (-0.22, -0.2, 0.36), (0.19, 0.16)),
                round_cone(points, (-0.22, -0.2, 0.36), (0.14, -0.29, 0.3), (0.16, 0.135)),
            ],
            0.06,
        )
        fist = union([palm, union(fingers, 0.035), thumb], 0.07)
        start = np.array([-0.5, 0.12, 0.0])
        gauntlet = round_cone(points, start, self.wrist, (0.33, 0.5))
        way = (self.wrist - start) / np.linalg.norm(self.wrist - start)
        along = (points - start) @ way
        folds = 0.03 * np.sin(along * 17 + 2.2 * points[:, 1] + 1.5 * points[:, 2]) * bump(along - 0.35, 0.45)
        whole = union([fist, gauntlet - folds], 0.16)
        return np.asarray(whole + 0.012 * fractal(points, 0.4, 2, 31))

    def _finger(self, points: Array, number: int) -> Array:
        """Return one finger: two bones bent round the bar and a short tip tucked in."""
        z = 0.345 - 0.23 * number
        size = FINGER_CM * (1.0, 1.04, 1.0, 0.9)[number]
        ring = BAR_CM + size * 0.92
        angles = np.radians((118, 38, -48, -128 + 14 * (number == 3)))
        stretch = (1.12, 1.22, 1.12, 1.05)
        knuckles = [
            (s * ring * np.cos(a) - 0.03, s * ring * np.sin(a) + 0.02, z + 0.012 * number * (i - 1))
            for i, (a, s) in enumerate(zip(angles, stretch, strict=True))
        ]
        bones = [
            round_cone(points, knuckles[i], knuckles[i + 1], (size * (1 - 0.05 * i), size * (0.95 - 0.05 * i)))
            for i in range(3)
        ]
        return union(bones, 0.05)


def _cuff(elbow: tuple[float, ...], wrist: tuple[float, ...]) -> Mesh:
    """Return the rubber cuff over the sleeve's end, with its two clamping rings."""
    way = np.subtract(wrist, elbow)
    way = way / np.linalg.norm(way)
    profile = [
        (0.0, -0.34),
        (0.68, -0.34),
        (0.7, -0.28),
        (0.66, -0.16),
        (0.66, -0.1),
        (0.72, -0.06),
        (0.72, 0.06),
    ]
    profile += [(0.65, 0.1), (0.63, 0.22), (0.67, 0.26), (0.66, 0.34), (0.56, 0.42), (0.0, 0.5)]
    return placed(revolved(rounded(profile, 0.04), 72), np.array(wrist) - 0.06 * way, way)
