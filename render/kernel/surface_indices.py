"""Which surface each pixel of a camera shows: the picture of a scene by its parts."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Camera

from .backend import mitsuba
from .film import Film
from .scene import Scene

NOTHING = -1


def trace_surface_indices(scene: Scene, camera: Camera) -> NDArray[np.int32]:
    """Return the index of the first surface on the ray through each pixel's centre, (height, width); -1 where none."""
    import drjit as dr

    mi = mitsuba()
    film = Film(camera)
    column, row, inside = film.lane_pixels()
    origin, direction = film.ray_generator()(mi.Float(column) + 0.5, mi.Float(row) + 0.5)
    point, segment = scene.all_surfaces.intersect(origin, direction, inside, coherent=True)
    surface = dr.gather(mi.UInt32, scene.surface_of_triangle, point.triangle, segment.hits)
    (image,) = film.images([dr.select(segment.hits, mi.Float(surface), float(NOTHING))])
    return image.astype(np.int32)
