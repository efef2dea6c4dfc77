"""A geometry as meshes: all surfaces, which paths hit, the occluders of shadow rays, and the clear surfaces."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from render.description.scene import Geometry, Surface

from .backend import mitsuba
from .triangle_mesh import TriangleMesh


class ClearSurfaces:
    """The surfaces that light passes straight through, and the surface of each of their triangles."""

    def __init__(self, surfaces: Sequence[Surface]) -> None:
        clear = [i for i, surface in enumerate(surfaces) if _is_clear(surface)]
        self.mesh = TriangleMesh([surfaces[i] for i in clear])
        self.surface_of_triangle = _surface_of_triangle(surfaces, clear)


class Scene:
    """The surfaces of a geometry as meshes.

    Paths hit `all_surfaces`; `occluders` block shadow rays; `clear_surfaces` are the rest, or None. The indices in
    `surface_of_triangle` are for the triangles of the first two.
    """

    def __init__(self, geometry: Geometry) -> None:
        self.mesh_fingerprint = geometry.mesh_fingerprint
        surfaces, order = geometry.surfaces, mesh_order(geometry.surfaces)
        self.surface_of_triangle = _surface_of_triangle(surfaces, order)
        occluders = [surfaces[i] for i in order if not _is_clear(surfaces[i])]
        self.all_surfaces = TriangleMesh([surfaces[i] for i in order])
        self.clear_surfaces = ClearSurfaces(surfaces) if len(occluders) < len(surfaces) else None
        self.occluders = TriangleMesh(occluders) if self.clear_surfaces else self.all_surfaces


def mesh_order(surfaces: Sequence[Surface]) -> list[int]:
    """Return the indices of surfaces in the order of their triangles in a scene's meshes.

    Clear ones come last, so that every triangle of the occluders has one index in both meshes.
    """
    return sorted(range(len(surfaces)), key=lambda i: _is_clear(surfaces[i]))


def _is_clear(surface: Surface) -> bool:
    return surface.finish.kind == "clear"


def _surface_of_triangle(surfaces: Sequence[Surface], order: Sequence[int]) -> Any:
    """Return the index of each triangle's surface, for a mesh of the surfaces of these indices."""
    counts = [len(surfaces[i].faces) for i in order]
    indices = np.repeat(np.array(order, dtype=np.uint32), counts) if counts else np.zeros(1, np.uint32)
    return mitsuba().UInt32(indices)
