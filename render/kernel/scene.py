"""A geometry as one mesh that paths and shadow rays are traced through."""

from __future__ import annotations

from typing import Any

import numpy as np

from render.description.scene import Geometry

from .tables import integer_table
from .triangle_mesh import TriangleMesh


class Scene:
    """The surfaces of a geometry, as one mesh: on OptiX a program can trace rays through one alone.

    `surface_of_triangle` holds the index of each triangle's surface. `has_see_through` says whether light goes straight
    through any of the surfaces, all over or in places.
    """

    def __init__(self, geometry: Geometry) -> None:
        self.mesh_fingerprint = geometry.mesh_fingerprint
        surfaces = geometry.surfaces
        indices = np.repeat(np.arange(len(surfaces), dtype=np.uint32), [len(surface.faces) for surface in surfaces])
        self.surface_of_triangle: Any = integer_table(indices if len(indices) else [0])
        self.all_surfaces = TriangleMesh(surfaces)
        self.has_see_through = any(surface.is_see_through for surface in surfaces)
