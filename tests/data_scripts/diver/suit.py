"""The canvas suit: the body under it, the cloth's fullness, and the draped cloth."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.solids import along, ellipsoid, round_cone, step, union
from scenes.builtin.shapes.sweeps import Mesh

from . import pose
from .shaping.drape import Cloth, drape
from .shaping.noise import noise
from .shaping.solids import bump, chain
from .shaping.surfacing import surface

STEP_CM = 0.088
LOW, HIGH = np.array([-5.2, -3.0, 1.6]), np.array([5.4, 2.6, 13.1])

# the sleeves end short of the wrists, so that their round ends stay inside cuffs and gloves
SLEEVE_R, SLEEVE_L = (
    tuple(np.add(wrist, 0.17 * np.subtract(elbow, wrist)).tolist())
    for elbow, wrist in ((pose.ELBOW_R, pose.WRIST_R), (pose.ELBOW_L, pose.WRIST_L))
)
ARM_R = (pose.SHOULDER_R, pose.ELBOW_R, SLEEVE_R)
ARM_L = (pose.SHOULDER_L, pose.ELBOW_L, SLEEVE_L)
LEG_R = (pose.HIP_R, pose.KNEE_R, pose.ANKLE_R)
LEG_L = (pose.HIP_L, pose.KNEE_L, pose.ANKLE_L)
BONES = (
    *[(limb[i], limb[i + 1]) for limb in (ARM_R, ARM_L, LEG_R, LEG_L) for i in (0, 1)],
    ((0, 0, 7.6), (0, 0, 12.0)),
)


def body(points: Array) -> Array:
    """Return the distance from the suit before its folds: a big man in thick wool under canvas."""
    trunk = union(
        [
            ellipsoid(points, (0, 0.15, 10.9), (2.55, 1.75, 1.75)),
            ellipsoid(points, (0, -0.05, 9.3), (2.15, 1.65, 1.6)),
            ellipsoid(points, (0, 0.1, 8.15), (2.2, 1.65, 1.25)),
            round_cone(points, (0, 0.1, 11.5), (0, 0.1, 12.9), (1.6, 1.2)),
        ],
        0.5,
    )
    arms = [chain(points, arm, radii, 0.35) for arm, radii in ((ARM_R, _ARM), (ARM_L, _ARM))]
    legs = [chain(points, leg, (1.25, 1.0, 0.78), 0.4) for leg in (LEG_R, LEG_L)]
    seat = union(legs, 0.35)
    whole = union([union([trunk, seat], 0.6), *arms], 0.35)
    waist = bump(points[:, 2] - pose.WAIST[2], 0.75) * step(np.abs(points[:, 0]), 3.0, 2.6)
    return np.asarray(whole + 0.14 * waist)


_ARM = (0.98, 0.8, 0.56)


def suit() -> Mesh:
    """Return the draped suit, closed at neck, wrists and ankles."""
    mesh = surface(body, LOW, HIGH, STEP_CM)
    return drape(mesh, _cloth(mesh.vertices), body, (LOW - 0.4, HIGH + 0.4))


def _cloth(points: Array) -> Cloth:
    """Say how much longer the cloth is than the body, which way, and where it is held."""
    away = np.stack([along(points, *bone)[1] for bone in BONES])
    nearest = np.argmin(away / np.array([0.8, 0.7, 0.8, 0.7, 1.15, 0.9, 1.15, 0.9, 2.0])[:, None], axis=0)
    axes = np.array([np.subtract(end, start) for start, end in BONES], float)
    axes /= np.linalg.norm(axes, axis=1, keepdims=True)
    joints = {pose.ELBOW_R: 1.5, pose.ELBOW_L: 1.5, pose.KNEE_R: 1.7, pose.KNEE_L: 1.9}
    joints |= {pose.HIP_R: 1.8, pose.HIP_L: 1.8, pose.ANKLE_R: 1.7, pose.ANKLE_L: 1.7}
    near = np.zeros(len(points))
    for place, reach in joints.items():
        near = np.maximum(near, bump(np.linalg.norm(points - np.array(place), axis=1), reach * 1.3))
    fullness = 0.11 + 0.16 * near + 0.03 * noise(points, 1.1, 5)
    held = np.full(len(points), False)
    for end in (SLEEVE_R, SLEEVE_L):
        held |= np.linalg.norm(points - np.array(end), axis=1) < 0.62
    held |= points[:, 2] < pose.SOLE_R + 0.95
    held |= (points[:, 0] > 0.9) & (points[:, 2] < pose.SOLE_L + 0.95)
    held |= (np.abs(points[:, 2] - pose.WAIST[2]) < 0.2) & (np.abs(points[:, 0]) < 2.6)
    held |= (points[:, 2] > 12.2) & (np.abs(points[:, 0]) < 2.1)
    return Cloth(axes[nearest], np.clip(fullness, 0.03, 0.3), held)
