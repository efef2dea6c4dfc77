"""Candidate bodies: many boards or balls of which one is to be placed, as arrays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from scenes.geometry import SHORTEST, STRAIGHT_UP

from .collisions import Body

UP: Final = np.array([[0.0, 0.0, 1.0]])
EDGE_POINTS: Final = 9
"""Points along each edge of a board, to which angles are measured."""


@dataclass(frozen=True, eq=False)
class Bodies:
    """Boards, or balls of the diameter `size_cm[:, 0]`: `n` candidates for one lamp or card.

    Parameters
    ----------
    at_cm : (n, 3)
        Centres, cm.
    axes : (n, 3, 3)
        Unit vectors in columns: width, height, normal.
    size_cm : (n, 2)
        Width and height, cm.
    is_ball
        Whether they are balls.
    """

    at_cm: Vector
    axes: Vector
    size_cm: Vector
    is_ball: bool

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self.at_cm)

    def __getitem__(self, chosen: NDArray[np.intp] | NDArray[np.bool_] | slice) -> Bodies:
        """Return the chosen ones."""
        return Bodies(self.at_cm[chosen], self.axes[chosen], self.size_cm[chosen], self.is_ball)

    def reach(self, along: Vector) -> Vector:
        """Return how far (n, k) each extends from its centre along unit vectors (k, 3) or (n, k, 3), cm."""
        if self.is_ball:
            return np.broadcast_to(self.size_cm[:, :1] / 2, (len(self), along.shape[-2]))
        across = np.abs(along @ self.axes[:, :, :2])
        return np.asarray((across * self.size_cm[:, None, :] / 2).sum(axis=-1))

    @property
    def corners(self) -> Vector:
        """Corners (n, 4, 3) of boards, centres (n, 1, 3) of balls, cm."""
        return self.at_cm[:, None, :] if self.is_ball else self.spread(2)

    def spread(self, count: int) -> Vector:
        """Return points (n, count^2, 3) all over each body, cm."""
        if self.is_ball:
            turn, rise = np.meshgrid(np.linspace(0, 2 * np.pi, count), np.linspace(-np.pi / 2, np.pi / 2, count))
            around = np.stack([np.cos(rise) * np.cos(turn), np.cos(rise) * np.sin(turn), np.sin(rise)], axis=-1)
            return np.asarray(self.at_cm[:, None] + around.reshape(-1, 3) * self.size_cm[:, None, :1] / 2)
        steps = np.linspace(-0.5, 0.5, count)
        spread = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2) * self.size_cm[:, None, :]
        return np.asarray(self.at_cm[:, None] + spread @ self.axes[:, :, :2].transpose(0, 2, 1))

    @property
    def radius_cm(self) -> Vector:
        """Radii (n,) of the bounding spheres, cm."""
        return self.size_cm[:, 0] / 2 if self.is_ball else np.hypot(*self.size_cm.T) / 2

    @property
    def lowest_cm(self) -> Vector:
        """Heights (n,) of the lowest points, cm."""
        return np.asarray(self.at_cm[:, 2] - self.reach(UP)[:, 0])

    def distance(self, point_cm: Vector) -> Vector:
        """Return the distance (n,) of one point (3,) from each, cm; 0 inside a ball."""
        away = np.asarray(point_cm) - self.at_cm
        if self.is_ball:
            return np.asarray(np.maximum(np.linalg.norm(away, axis=1) - self.size_cm[:, 0] / 2, 0.0))
        local = np.einsum("ni,nij->nj", away, self.axes)
        local[:, :2] = np.maximum(np.abs(local[:, :2]) - self.size_cm / 2, 0.0)
        return np.asarray(np.linalg.norm(local, axis=1))

    def off_deg(self, from_cm: Vector, direction: Vector) -> Vector:
        """Return the angles (n,) at a point (3,) between a unit vector (3,) and the nearest part of each board."""
        start = np.einsum("ni,nij->nj", from_cm - self.at_cm, self.axes)
        along = direction @ self.axes
        with np.errstate(divide="ignore", invalid="ignore"):
            share = -start[:, 2] / along[:, 2]
            met = (np.abs((start + share[:, None] * along)[:, :2]) <= self.size_cm / 2).all(axis=1) & (share > 0)
        edge = self.spread(EDGE_POINTS)[:, on_edge(EDGE_POINTS)] - from_cm
        return np.where(met, 0.0, angles_deg(edge, direction).min(axis=1))

    def body(self, i: int, name: str = "") -> Body:
        """Return one as a body with a name."""
        (x, y, z), (nx, ny, nz) = self.at_cm[i].tolist(), self.axes[i, :, 2].tolist()
        width, height = self.size_cm[i].tolist()
        return Body(name, (x, y, z), (nx, ny, nz), (width, height), self.is_ball)


def bodies_of(*bodies: Body) -> Bodies:
    """Return bodies, all balls or all boards, as arrays."""
    facing = np.array([body.facing for body in bodies], float)
    at, size = np.array([body.at_cm for body in bodies], float), np.array([body.size_cm for body in bodies], float)
    return Bodies(at, axes_of(facing), size, bodies[0].is_ball)


def axes_of(facing: Vector) -> Vector:
    """Return the axes (n, 3, 3) of boards that face unit vectors (n, 3), each as `geometry.axes_facing` gives them."""
    is_vertical = np.abs(facing[:, 2]) >= STRAIGHT_UP
    level = np.column_stack([-facing[:, 1], facing[:, 0], np.zeros(len(facing))])
    along_x = np.array([1.0, 0.0, 0.0]) - facing[:, :1] * facing
    width = normalised(np.where(is_vertical[:, None], along_x, level))
    return np.stack([width, np.cross(facing, width), facing], axis=-1)


def on_edge(count: int) -> NDArray[np.bool_]:
    """Return which (count^2,) points of a grid of `count` points a side are on its edge."""
    on_end = np.isin(np.arange(count), (0, count - 1))
    return np.asarray((on_end[:, None] | on_end).ravel())


def angles_deg(directions: Vector, wanted: Vector) -> Vector:
    """Return the angles (...) between vectors (..., 3) and a unit vector (3,), degrees; exact for small ones."""
    across = np.linalg.norm(np.cross(directions, wanted), axis=-1)
    return np.asarray(np.degrees(np.arctan2(across, directions @ wanted)))


def normalised(vectors: Vector) -> Vector:
    """Return vectors (..., 3) scaled to length one; those without a direction stay 0."""
    length = np.linalg.norm(vectors, axis=-1, keepdims=True)
    return np.asarray(vectors / np.where(length > SHORTEST, length, 1.0))
