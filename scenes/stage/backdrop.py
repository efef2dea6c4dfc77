"""The backdrop sweep: table, curve and wall of one seamless sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from scenes.arrangement.arrangement import BackdropModel
from scenes.errors import ArrangementError
from scenes.lengths import distance_words, distance_words_up

from .viewpoint import Viewpoint

SHEET_CM = (70.0, 100.0)  # poster board; common practice, no source
WALL_SIZES = 2.5  # the wall stands 45 cm behind an 18 cm figure
LEAST_WALL_CM, LEAST_FRONT_CM = 15.0, 5.0  # card bends no tighter, however small the model; common practice, no source
CURVE_SHARE = 0.4  # of the way to the wall: a curve that shows no line
CURVE_STEPS = 64
SPARE = 1.05  # of the frame, that a sheet of no stated size reaches beyond it


@dataclass(frozen=True)
class Sweep:
    """A backdrop sweep in cm: its front edge at y = -front_cm, its wall at y = wall_cm."""

    width_cm: float
    front_cm: float
    wall_cm: float
    radius_cm: float
    height_cm: float

    @property
    def length_cm(self) -> float:
        """Length along table, curve and wall, cm."""
        curve = math.pi / 2 * self.radius_cm
        return self.front_cm + self.wall_cm - self.radius_cm + curve + self.height_cm - self.radius_cm

    def profile(self) -> tuple[Vector, Vector]:
        """Return points and normals (n, 2) of its profile, as (y, z), from the front edge to the top."""
        angle = np.linspace(0.0, np.pi / 2, CURVE_STEPS + 1)
        r = self.radius_cm
        curve = np.column_stack([self.wall_cm - r + r * np.sin(angle), r - r * np.cos(angle)])
        bend = np.column_stack([-np.sin(angle), np.cos(angle)])
        points = np.vstack([[-self.front_cm, 0.0], curve, [self.wall_cm, self.height_cm]])
        return points, np.vstack([[0.0, 1.0], bend, [-1.0, 0.0]])

    def mesh(self) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.int32]]:
        """Return vertices (n, 3) in cm, normals (n, 3) and faces (m, 3) of the sweep, smooth along its curve."""
        points, bend = self.profile()
        n = len(points)
        vertices = np.zeros((2 * n, 3), np.float32)
        normals = np.zeros((2 * n, 3), np.float32)
        for side, x in enumerate((-self.width_cm / 2, self.width_cm / 2)):
            vertices[side * n : (side + 1) * n] = np.column_stack([np.full(n, x), points])
            normals[side * n : (side + 1) * n, 1:] = bend
        i = np.arange(n - 1)
        faces = np.vstack([np.column_stack([i, i + n, i + n + 1]), np.column_stack([i, i + n + 1, i + 1])])
        return vertices, normals, faces.astype(np.int32)

    def depths_behind(self, points_cm: Vector) -> Vector:
        """Return the depths (n,) of points (n, 3) behind the sweep, cm; negative by their distance in front of it."""
        y, z = points_cm[:, 1], points_cm[:, 2]
        r = self.radius_cm
        into_curve = np.hypot(y - (self.wall_cm - r), z - r) - r
        in_corner = (y > self.wall_cm - r) & (z < r)
        return np.asarray(np.maximum(np.where(in_corner, into_curve, y - self.wall_cm), -z))

    def behind(self, points_cm: Vector) -> float:
        """Return the largest depth of points (n, 3) behind the sweep, cm; negative where all are in front of it."""
        return float(self.depths_behind(points_cm).max())

    def clearance_cm(self, points_cm: Vector) -> float:
        """Return how far a body of points (n, 3) is clear of the sheet at least, cm; negative where it is not.

        It is clear where all of it is before the wall and over the table, or over the sheet's top.
        """
        return max(-self.behind(points_cm), float(points_cm[:, 2].min()) - self.height_cm)

    def distances_cm(self, points_cm: Vector) -> Vector:
        """Return the distances (n,) of points (n, 3) from the sheet as it is laid, with its edges, cm."""
        x, y, z = np.asarray(points_cm, dtype=float).T
        r, middle = self.radius_cm, self.wall_cm - self.radius_cm
        to_table = np.hypot(y - np.clip(y, -self.front_cm, middle), z)
        to_wall = np.hypot(y - self.wall_cm, z - np.clip(z, r, self.height_cm))
        bends = (y >= middle) & (z <= r)
        to_curve = np.where(bends, np.abs(np.hypot(y - middle, z - r) - r), np.inf)
        beside = np.maximum(np.abs(x) - self.width_cm / 2, 0.0)
        return np.asarray(np.hypot(beside, np.minimum(np.minimum(to_table, to_wall), to_curve)))

    def hits(self, from_cm: Vector, rays: Vector) -> Vector:
        """Return where (n, 3) rays (n, 3) from one point (3,) before it meet the sweep, cm; NaN where they miss it."""
        middle, r = np.array([self.wall_cm - self.radius_cm, self.radius_cm]), self.radius_cm
        start, along = np.asarray(from_cm)[1:] - middle, rays[:, 1:]
        with np.errstate(divide="ignore", invalid="ignore"):
            half = along @ start
            square = (along**2).sum(axis=1)
            to_curve = (np.sqrt(half**2 - square * (start @ start - r**2)) - half) / square
            to_table = np.where(rays[:, 2] < 0, -from_cm[2] / rays[:, 2], np.inf)
            to_wall = np.where(rays[:, 1] > 0, (self.wall_cm - from_cm[1]) / rays[:, 1], np.inf)
            on_curve = from_cm + to_curve[:, None] * rays
            bends = (on_curve[:, 1] > middle[0]) & (on_curve[:, 2] < middle[1])
            points = from_cm + np.where(bends, to_curve, np.minimum(to_table, to_wall))[:, None] * rays
        x, y, z = points.T
        on_sheet = (np.abs(x) <= self.width_cm / 2) & (y >= -self.front_cm) & (z <= self.height_cm)
        return np.asarray(np.where(on_sheet[:, None], points, np.nan))


def natural_wall_cm(size_cm: float) -> float:
    """Return the distance of the wall behind the centre mark, cm, where none is stated."""
    return max(LEAST_WALL_CM, WALL_SIZES * size_cm)


def lay_sweep(backdrop: BackdropModel, size_cm: float, view: Viewpoint) -> Sweep | None:
    """Return the sweep with its front edge below the frame, or None where there is no backdrop.

    Raises
    ------
    InputError
        Where the declared sheet is too short for table, curve and wall.
    """
    if backdrop.kind == "none":
        return None
    wall = backdrop.distance_cm or natural_wall_cm(size_cm)
    radius = CURVE_SHARE * wall
    front = _front_edge_cm(view, size_cm)
    width, length = backdrop.sheet_cm or _filling_sheet_cm(view, size_cm, front, wall, radius)
    height = length - front - wall - (math.pi / 2 - 2) * radius
    if height < radius:
        needed = length + radius - height
        raise ArrangementError(
            f"backdrop.sheet_cm: a sheet {length:g} cm long does not reach from {distance_words(front)} before the "
            f"subject to a wall {distance_words(wall)} behind it; it would have to be {distance_words_up(needed)}, or "
            "the wall nearer (backdrop.distance_cm)"
        )
    return Sweep(width, front, wall, radius, height)


def _filling_sheet_cm(view: Viewpoint, size_cm: float, front: float, wall: float, radius: float) -> tuple[float, float]:
    """Return width and length of a sheet that fills the frame: poster board, or larger where needed."""
    grown = max(1.0, size_cm / 20.0)
    at, rays = np.asarray(view.at_cm), view.rays(np.array([1.0, 1.0]), np.array([-1.0, 1.0]))
    with np.errstate(divide="ignore"):
        to_table = np.where(rays[:, 2] < 0, -at[2] / rays[:, 2], np.inf)
        to_wall = np.where(rays[:, 1] > 0, (wall - at[1]) / rays[:, 1], np.inf)
    distance = np.minimum(to_table, to_wall)
    seen = (at + distance[:, None] * rays)[np.isfinite(distance)]
    height = SPARE * max(radius, float(seen[:, 2].max(initial=0.0)))
    width = 2 * SPARE * np.abs(seen[:, 0]).max(initial=0.0)
    length = front + wall + (math.pi / 2 - 2) * radius + height
    return max(SHEET_CM[0] * grown, float(width)), max(SHEET_CM[1] * grown, float(length))


def _front_edge_cm(view: Viewpoint, size_cm: float) -> float:
    """Return the distance in front of the centre, cm, at which the front edge is out of the frame."""
    ray = view.rays(np.array([0.0]), np.array([-1.0]))[0]
    least = max(LEAST_FRONT_CM, 0.75 * size_cm)
    if ray[2] >= -1e-3:
        return least
    y = view.at_cm[1] - view.at_cm[2] / ray[2] * ray[1]
    return float(max(least, 1.1 * -y))


def edges_in_sight(sweep: Sweep, view: Viewpoint) -> tuple[str, ...]:
    """Return the edges of the sweep that are inside the frame: front, top, sides."""
    seen: list[str] = []
    top, side = np.array([[0.0, sweep.wall_cm, sweep.height_cm]]), sweep.width_cm / 2
    if view.project(top)[0, 1] < 1.0:
        seen.append("top")
    at_wall = np.array([[side, sweep.wall_cm, sweep.radius_cm]])
    if view.project(at_wall)[0, 0] < 1.0:
        seen.append("sides")
    if view.project(np.array([[0.0, -sweep.front_cm, 0.0]]))[0, 1] > -1.0:
        seen.append("front")
    return tuple(seen)
