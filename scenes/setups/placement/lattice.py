"""Lattices of candidate places about the place that a setup wants, the nearest first."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from scenes.geometry import direction_round
from scenes.setups.place import Place, Stage
from scenes.setups.setup import RelativePlacement

from .bodies import Bodies, angles_deg, axes_of, normalised
from .constraints import TABLE_GAP_CM

NEAR_DEG: Final = np.array([-7.5, -2.5, 2.5, 7.5])
"""Between steps of 5 degrees, so that a place near the wanted one is not missed."""
ROUND_DEG: Final = np.union1d(np.arange(-30.0, 31.0, 5.0), NEAR_DEG)
RISE_DEG: Final = np.union1d(np.arange(-25.0, 26.0, 5.0), NEAR_DEG)
DISTANCES: Final = np.array([0.75, 0.87, 1.0, 1.15, 1.32, 1.52, 1.74, 2.0])
ALL_ROUND_DEG: Final = np.arange(-180.0, 180.0, 15.0)
ALL_RISES_DEG: Final = np.arange(-180.0, 181.0, 15.0)
STEEPEST_DEG: Final = 90.0
ALL_DISTANCES: Final = np.array([0.75, 1.0, 1.32, 1.74, 2.3, 3.0])
DOUBLING_DEG: Final = 10.0
"""Degrees that count as much as twice the distance, which is two stops less light."""
ROUNDING: Final = 1e-9
TURNING_DEG: Final = 4.0
"""Degrees that count as much as the other side of a panel upright."""

LENS_ROOM_CM: Final = 8.0


@dataclass(frozen=True)
class Shape:
    """A body that is to be placed.

    Parameters
    ----------
    sides
        The ways in which it may be turned, the preferred first: whether its longer side is upright, and its width and
        height, cm.
    is_ball
        Whether it is a ball.
    on_table
        Whether it is put up on the table where it would reach into it, and is where it is wanted if part of it is.
    """

    sides: tuple[tuple[bool, tuple[float, float]], ...]
    is_ball: bool = False
    on_table: bool = False

    def clear_cm(self, clearance_cm: float) -> float:
        """Return a distance at which it is clear of a subject and of the lens however it is turned, cm."""
        return math.hypot(*self.sides[0][1]) + clearance_cm + LENS_ROOM_CM


@dataclass(frozen=True, eq=False)
class Candidates:
    """Places in the order in which they are tried: position and aim (n, 3), cm, rounded to what a tape measure reads.

    `off_deg` (n,) is the angle at the aim between each, or the nearest part of a card, and the wanted place.
    """

    bodies: Bodies
    aim_cm: Vector
    upright: NDArray[np.bool_]
    off_deg: Vector

    def place(self, i: int) -> Place:
        """Return one of the places."""
        (x, y, z), (ax, ay, az) = self.bodies.at_cm[i].tolist(), self.aim_cm[i].tolist()
        return Place((x, y, z), (ax, ay, az), bool(self.upright[i]))


def lattice_about(wanted: RelativePlacement, shape: Shape, stage: Stage, nearest_cm: float = 0.0) -> Candidates:
    """Return the lattice near the wanted place: its first is that place itself.

    It reaches beyond `nearest_cm`, the distance from the model that a lamp's label asks for.
    """
    return _candidates(wanted, (ROUND_DEG, wanted.rise_deg + RISE_DEG, DISTANCES), shape, stage, nearest_cm)


def lattice_all_round(wanted: RelativePlacement, shape: Shape, stage: Stage, nearest_cm: float = 0.0) -> Candidates:
    """Return a coarse lattice over all directions, which reaches beyond `nearest_cm`."""
    rises = wanted.rise_deg + ALL_RISES_DEG
    rises = rises[np.abs(rises) <= STEEPEST_DEG]
    return _candidates(wanted, (ALL_ROUND_DEG, rises, ALL_DISTANCES), shape, stage, nearest_cm)


def azimuth_deg(wanted: RelativePlacement, stage: Stage) -> float:
    """Return the direction round the subject of a wanted place: 0 at the camera, positive to camera right."""
    return wanted.round_deg + (0.0 if wanted.from_camera else stage.base_deg)


def _candidates(
    wanted: RelativePlacement, axes: tuple[Vector, Vector, Vector], shape: Shape, stage: Stage, nearest_cm: float
) -> Candidates:
    """Return places, sorted by how far they are off the wanted one.

    `axes` are the degrees farther round than the wanted place and the rises, degrees, and the distances in wanted ones.

    Of equals, those farther round, higher and farther away come first, so that mirror images are placed as such.
    """
    azimuth, distance_cm = azimuth_deg(wanted, stage), wanted.distance * stage.subject.size_cm
    beyond_cm = nearest_cm + stage.subject.size_cm if nearest_cm else 0.0
    distances = _extended(axes[2], shape.clear_cm(max(wanted.clearance_cm, beyond_cm)) / distance_cm)
    grid = np.meshgrid(axes[0], axes[1], distances, np.arange(float(len(shape.sides))))
    farther_round, rise, far, side = (np.asarray(axis.ravel(), float) for axis in grid)
    outward = -1.0 if np.sin(np.radians(azimuth)) < -ROUNDING else 1.0
    towards = _directions(azimuth + outward * farther_round, rise)
    off_deg = angles_deg(towards, direction_round(azimuth, wanted.rise_deg))
    cost = off_deg + DOUBLING_DEG * np.abs(np.log2(far)) + TURNING_DEG * side
    order = np.lexsort((-far, -rise, -farther_round, np.round(cost, 6)))
    towards, far, side, off_deg = towards[order], far[order], side[order].astype(int), off_deg[order]
    centre = stage.aim(wanted.aim)
    at = centre + towards * (distance_cm * far)[:, None]
    at, aim = _to_millimetres(at), _to_millimetres(_tilted(at, centre, wanted.tilt_deg))
    aim[(at == aim).all(axis=1), 2] += 1.0  # beside a model far smaller than a millimetre
    size = np.array([size for _, size in shape.sides])[side]
    upright = np.array([turned for turned, _ in shape.sides])[side]
    bodies = Bodies(at, axes_of(normalised(aim - at)), size, shape.is_ball)
    if shape.on_table:
        lift = np.column_stack([np.zeros((len(at), 2)), _lift_cm(bodies)])
        bodies, aim = replace(bodies, at_cm=at + lift), aim + lift
        off_deg = bodies.off_deg(centre, direction_round(azimuth, wanted.rise_deg))
    return Candidates(bodies, aim, upright, off_deg)


def _lift_cm(bodies: Bodies) -> Vector:
    """Return by how much (n,) each has to be lifted to stand clear of the table, cm, in whole millimetres."""
    return np.asarray(np.ceil(10 * np.maximum(TABLE_GAP_CM - bodies.lowest_cm, 0.0) - ROUNDING) / 10)


def _extended(distances: Vector, enough: float) -> Vector:
    """Return distances and, beside a subject far smaller than a lamp, larger ones up to `enough`."""
    step, last = distances[-1] / distances[-2], distances[-1]
    more = max(0, int(np.ceil(np.log(enough / last) / np.log(step))))
    return np.append(distances, last * step ** np.arange(1, more + 1))


def _directions(round_deg: Vector, rise_deg: Vector) -> Vector:
    turn, rise = np.radians(round_deg), np.radians(rise_deg)
    return np.column_stack([np.sin(turn) * np.cos(rise), -np.cos(turn) * np.cos(rise), np.sin(rise)])


def _tilted(at: Vector, aim: Vector, tilt_deg: float) -> Vector:
    """Return the aim (n, 3) raised by `tilt_deg` as seen from each position (n, 3), at the same distance."""
    away = aim - at
    length = np.linalg.norm(away, axis=1)
    level = np.linalg.norm(away[:, :2], axis=1)
    rise = np.clip(np.degrees(np.arctan2(away[:, 2], level)) + tilt_deg, -90.0, 90.0)
    turn = np.degrees(np.arctan2(away[:, 0], -away[:, 1]))
    return np.asarray(at + _directions(turn, rise) * length[:, None]) if tilt_deg else np.broadcast_to(aim, at.shape)


def _to_millimetres(points: Vector) -> Vector:
    return np.round(points, 1) + 0.0  # no minus zero
