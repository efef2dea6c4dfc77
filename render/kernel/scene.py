"""A geometry as meshes: all surfaces, which paths hit, the occluders of shadow rays, and the see-through surfaces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from render.description.scene import Geometry, Surface

from .backend import mitsuba
from .opaque import opaque_integer
from .surface_point import RaySegment, SurfacePoint
from .triangle_mesh import TriangleMesh


class Scene:
    """The surfaces of a geometry as meshes.

    Paths hit `all_surfaces`; `occluders` block shadow rays; `see_through` are the rest, or None where there are none.
    In `all_surfaces` the triangles of the occluders come first, then those of the rest. `surface_of_triangle` holds the
    index of each one's surface.
    """

    def __init__(self, geometry: Geometry) -> None:
        self.mesh_fingerprint = geometry.mesh_fingerprint
        order = mesh_order(geometry.surfaces)
        surfaces = [geometry.surfaces[i] for i in order]
        counts = [len(surface.faces) for surface in surfaces]
        indices = np.repeat(np.array(order, dtype=np.uint32), counts) if counts else np.zeros(1, np.uint32)
        self.surface_of_triangle = mitsuba().UInt32(indices)
        opaque = [surface for surface in surfaces if not surface.is_see_through]
        self.all_surfaces = TriangleMesh(surfaces)
        self.occluders, self.see_through = self.all_surfaces, None
        if len(opaque) < len(surfaces):
            self.occluders = TriangleMesh(opaque)
            self.see_through = SeeThrough(surfaces[len(opaque) :], sum(counts[: len(opaque)]))


class SeeThrough:
    """The surfaces that light goes straight through, all over or in places.

    `first_triangle` is the number of their first triangle among those of all surfaces.
    """

    def __init__(self, surfaces: Sequence[Surface], first_triangle: int) -> None:
        self.mesh = TriangleMesh(surfaces)
        self.first_triangle = first_triangle

    def intersect(self, origin: Any, direction: Any, active: Any) -> tuple[SurfacePoint, RaySegment]:
        """Return the first of their points along a ray, its triangle as of all surfaces, and the segment up to it."""
        point, segment = self.mesh.intersect(origin, direction, active)
        return replace(point, triangle=point.triangle + opaque_integer(self.first_triangle)), segment


def mesh_order(surfaces: Sequence[Surface]) -> list[int]:
    """Return the indices of surfaces in the order of their triangles in a scene's meshes.

    See-through ones come last, so that every triangle of the occluders has one index in both meshes.
    """
    return sorted(range(len(surfaces)), key=lambda i: surfaces[i].is_see_through)
