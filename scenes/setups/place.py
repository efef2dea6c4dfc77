"""Places of lamps and cards, and the stage that they are placed on."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from scipy.spatial import ConvexHull, KDTree, QhullError

from materials.arrays import Vector
from scenes.geometry import corners, unit
from scenes.setups.placement.occluder import Occluder, occluder_of
from scenes.setups.placement.silhouette import Silhouette, silhouette_of
from scenes.stage.backdrop import Sweep, natural_wall_cm
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.kind import SubjectKind, has_face
from scenes.subject.subject import Subject

POINTS: Final = 4000
"""On the subject's surface, from which clearances are measured."""


@dataclass(frozen=True)
class Place:
    """Position and aim of a lamp or card, cm; `upright`: the longer side of a panel is upright, not level."""

    at_cm: tuple[float, float, float]
    aim_cm: tuple[float, float, float]
    upright: bool = False

    @property
    def facing(self) -> Vector:
        """Unit vector (3,) from its position to its aim."""
        return unit(np.subtract(self.aim_cm, self.at_cm))

    def corners(self, size_cm: tuple[float, float]) -> Vector:
        """Return the corners (4, 3), cm, of a board of that width and height at this place."""
        return corners(self.at_cm, self.facing, size_cm)


@dataclass(frozen=True, eq=False)
class Stage:
    """What lamps and cards are placed round: the subject, seen by the camera before its backdrop.

    `facing_deg` is the direction of the subject's front: 0 at the camera, positive to camera right.
    `clear_parts` names the parts of clear plastic or glass.
    """

    subject: Subject
    view: Viewpoint
    sweep: Sweep | None
    facing_deg: float
    hero_cm: tuple[float, float, float]
    kind: SubjectKind
    clear_parts: tuple[str, ...] = ()

    @property
    def base_deg(self) -> float:
        """The direction that a setup's `round_deg` counts from: the front of what has a face, else the camera."""
        return self.facing_deg if has_face(self.kind) else 0.0

    def aim(self, at: str) -> Vector:
        """Return the point (3,), cm, of an aim: "hero", "middle", "base" or "sheet"."""
        low, high = np.asarray(self.subject.bounds_cm, dtype=float)
        match at:
            case "hero":
                return np.asarray(self.hero_cm)
            case "middle":
                return np.asarray((low + high) / 2)
            case "base":
                return np.array([0.0, 0.0, low[2]])
            case _:
                return self._sheet_cm

    @cached_property
    def _sheet_cm(self) -> Vector:
        """Centroid (3,) of the sheet where it shows in the frame round the subject; without one, of where it would."""
        at, rays = np.asarray(self.view.at_cm), self.silhouette.free_rays()
        wall_cm = natural_wall_cm(self.subject.size_cm)
        points = self.sweep.hits(at, rays) if self.sweep else at + rays * ((wall_cm - at[1]) / rays[:, 1:2])
        shown = points[np.isfinite(points).all(axis=1)]
        return np.asarray(shown.mean(axis=0)) if len(shown) else np.array([0.0, wall_cm, 0.0])

    @cached_property
    def silhouette(self) -> Silhouette:
        """The subject's silhouette in the frame."""
        return silhouette_of(self.subject, self.view)

    @cached_property
    def occluder(self) -> Occluder:
        """The subject's triangles as the camera sees them."""
        return occluder_of(self.subject, self.view, self.clear_parts)

    @cached_property
    def points(self) -> Vector:
        """Points (n, 3), cm, on the subject's surface and at what sticks out of it."""
        vertices = np.concatenate([part.vertices_cm for part in self.subject.parts]).astype(float)
        points = [self.subject.surface_points(POINTS).astype(float), vertices[:: len(vertices) // POINTS + 1]]
        with suppress(QhullError):  # a flat subject has no hull
            points.append(vertices[ConvexHull(vertices).vertices])
        return np.vstack(points)

    @cached_property
    def nearest(self) -> KDTree:
        """The points as a tree, for the nearest of them."""
        return KDTree(self.points)
