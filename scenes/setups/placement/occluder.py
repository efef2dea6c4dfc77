"""The subject's triangles as the camera sees them: whether points lie behind them."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.subject import Subject


@dataclass(frozen=True, eq=False)
class Occluder:
    """Triangles projected to the plane one centimetre before the lens.

    Parameters
    ----------
    view
        The camera.
    corners : (n, 3, 2)
        Their corners.
    nearness : (n, 3)
        Reciprocals of the corners' depths, 1/cm, which are linear over the plane.
    """

    view: Viewpoint
    corners: Vector
    nearness: Vector

    def hides(self, points_cm: Vector) -> bool:
        """Return whether each of the points (n, 3) has a triangle between it and the lens."""
        if not len(points_cm):
            return True
        at, nearness = _seen(self.view, points_cm)
        near = self._about(at.min(axis=0), at.max(axis=0))
        return all(near._covers(*point) for point in zip(at, nearness, strict=True))

    def _about(self, low: Vector, high: Vector) -> Occluder:
        """Return the triangles whose bounds overlap those from `low` to `high`, both (2,)."""
        below, above = self.bounds
        near = np.flatnonzero(np.logical_and.reduce([*(above >= low[:, None]), *(below <= high[:, None])]))
        return Occluder(self.view, self.corners[near], self.nearness[near])

    @cached_property
    def bounds(self) -> tuple[Vector, Vector]:
        """Lowest and highest corners (2, n) round each."""
        corners = self.corners.transpose(1, 2, 0)
        return np.minimum.reduce([*corners]), np.maximum.reduce([*corners])

    def _covers(self, at: Vector, nearness: float) -> bool:
        """Return whether a triangle is before a point (2,), by the edge functions of those about it."""
        about = self._about(at, at)
        following = np.roll(about.corners, -1, axis=1)
        along, away = following - about.corners, at - about.corners
        edges = along[..., 0] * away[..., 1] - along[..., 1] * away[..., 0]
        area = edges.sum(axis=1)
        inside = ((edges >= 0).all(axis=1) | (edges <= 0).all(axis=1)) & (area != 0)
        opposite = np.roll(edges, -1, axis=1)  # the edge function opposite each corner weighs it
        weighed = (opposite * about.nearness).sum(axis=1) / np.where(inside, area, 1.0)
        return bool((inside & (weighed > nearness)).any())


def occluder_of(subject: Subject, view: Viewpoint, clear: Collection[str] = ()) -> Occluder:
    """Return the triangles of a subject, all of which lie before the lens; parts that are see-through hide nothing.

    Those are the ones with an opacity map, and those named in `clear`.
    """
    opaque = [part for part in subject.parts if part.opacity_map is None and part.name not in clear]
    seen = [(*_seen(view, part.vertices_cm), part.faces) for part in opaque]
    corners = np.concatenate([np.zeros((0, 3, 2)), *(at[faces] for at, _, faces in seen)])
    return Occluder(
        view, corners, np.concatenate([np.zeros((0, 3)), *(nearness[faces] for _, nearness, faces in seen)])
    )


def _seen(view: Viewpoint, points_cm: NDArray[Any]) -> tuple[Vector, Vector]:
    """Return where (n, 2) points (n, 3) appear, and the reciprocals of their depths (n,), 1/cm."""
    across, up, depth = ((points_cm - np.asarray(view.at_cm)) @ view.axes).T
    return np.column_stack([across, up]) / depth[:, None], 1 / depth
