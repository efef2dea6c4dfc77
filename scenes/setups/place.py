"""Places of lamps and cards, the stage that they are placed on, and what the camera sees of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_closing

from materials.arrays import Vector
from scenes.geometry import corners, unit
from scenes.stage.backdrop import Sweep
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.kind import SubjectKind, has_face
from scenes.subject.subject import Subject

FRAME_MARGIN = 1.04  # a lamp leaves the frame by this much of its half size
SILHOUETTE_CELLS = 96


@dataclass(frozen=True)
class Place:
    """Position and aim of a lamp or card, cm."""

    at_cm: tuple[float, float, float]
    aim_cm: tuple[float, float, float]

    @property
    def facing(self) -> Vector:
        """Unit vector (3,) from its position to its aim."""
        return unit(np.subtract(self.aim_cm, self.at_cm))

    def corners(self, size_cm: tuple[float, float]) -> Vector:
        """Return the corners (4, 3), cm, of a board of that width and height at this place."""
        return corners(self.at_cm, self.facing, size_cm)


@dataclass(frozen=True)
class Stage:
    """What lamps and cards are placed round: the subject, seen by the camera before its backdrop.

    `facing_deg` is the direction of the subject's front: 0 at the camera, positive to camera right.
    """

    subject: Subject
    view: Viewpoint
    sweep: Sweep | None
    facing_deg: float
    hero_cm: tuple[float, float, float]
    kind: SubjectKind

    @property
    def base_deg(self) -> float:
        """The direction that a setup's `round_deg` counts from: the front of what has a face, else the camera."""
        return self.facing_deg if has_face(self.kind) else 0.0

    def aim(self, at: str) -> Vector:
        """Return the point (3,), cm, of an aim: "hero", "middle", "base" or "wall"."""
        low, high = np.asarray(self.subject.bounds_cm, dtype=float)
        match at:
            case "hero":
                return np.asarray(self.hero_cm)
            case "middle":
                return np.asarray((low + high) / 2)
            case "base":
                return np.array([0.0, 0.0, low[2]])
            case _:
                return self._wall()

    def _wall(self) -> Vector:
        away = self.sweep.wall_cm if self.sweep else 2.5 * self.subject.size_cm
        at, forward = np.asarray(self.view.at_cm), self.view.axes[:, 2]
        point: Vector = at + forward * (away - at[1]) / forward[1]
        point[2] = max(point[2], 0.35 * self.subject.size_cm)
        return point

    @cached_property
    def points(self) -> Vector:
        """Points (1500, 3), cm, on the subject's surface, from which clearances are measured."""
        return self.subject.surface_points(1500).astype(float)

    @cached_property
    def silhouette(self) -> NDArray[np.bool_]:
        """The subject's silhouette on a square grid over the frame, row 0 at the bottom."""
        seen = self.view.project(self.subject.surface_points(20000))[:, :2]
        cells = np.clip(((seen + 1) / 2 * SILHOUETTE_CELLS).astype(int), 0, SILHOUETTE_CELLS - 1)
        grid = np.zeros((SILHOUETTE_CELLS, SILHOUETTE_CELLS), bool)
        grid[cells[:, 1], cells[:, 0]] = True
        closed: NDArray[np.bool_] = binary_closing(grid)
        return closed


def in_frame(place: Place, size_cm: tuple[float, float], view: Viewpoint) -> bool:
    """Return whether any part of a board lies within the frame, occluded or not."""
    x, y, depth = view.project(_grid_points(place, size_cm)).T
    inside: NDArray[np.bool_] = (np.abs(x) < FRAME_MARGIN) & (np.abs(y) < FRAME_MARGIN) & (depth > 0)
    return bool(inside.any())


def is_hidden(place: Place, size_cm: tuple[float, float], stage: Stage) -> bool:
    """Return whether all of a board projects into the subject's silhouette, which then occludes it."""
    seen = stage.view.project(_grid_points(place, size_cm))[:, :2]
    if not np.isfinite(seen).all():
        return False  # part of it is behind the camera
    cells = ((seen + 1) / 2 * SILHOUETTE_CELLS).astype(int)
    if (cells < 0).any() or (cells >= SILHOUETTE_CELLS).any():
        return False
    return bool(stage.silhouette[cells[:, 1], cells[:, 0]].all())


def _grid_points(place: Place, size_cm: tuple[float, float]) -> Vector:
    """Return points (81, 3), cm, on a regular grid over a board."""
    a, b, _, d = place.corners(size_cm)
    u, v = np.meshgrid(np.linspace(0, 1, 9), np.linspace(0, 1, 9))
    return np.asarray(a + u.reshape(-1, 1) * (b - a) + v.reshape(-1, 1) * (d - a))
