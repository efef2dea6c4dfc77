"""What the camera sees before any light: which surface, its colour, its normal, how far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from materials.arrays import Image
from materials.colour.srgb import linear_srgb_under_d65
from render.description.scene import Surface
from render.kernel.surfaces.textures import Painting

from .backend import mitsuba
from .film import Film
from .loops import loop
from .sampler import Points, stream
from .scene import Scene

FEATURE_SAMPLES = 16
FAR_M = 1e3


@dataclass(frozen=True, eq=False)
class Features:
    """Means over each pixel: albedo and normal (h, w, 3), depth in m (h, w), and the share each kind takes."""

    albedo: Image
    normal: Image
    depth: Image
    subject: Image
    backdrop: Image


def see(surfaces: Sequence[Surface], scene: Scene, painting: Painting | None, film: Film) -> Features:
    """Return the features of a scene on a film; past what is clear, albedo and normal are of what lies behind."""
    import drjit as dr

    mi = mitsuba()
    column, row, inside = film.pixels()
    ray = film.rays()
    seed = stream(row * film.camera.width + column, mi.UInt32(0))
    table = mi.Float(np.array([_values(s) for s in surfaces] or [[0.0] * 8], dtype=np.float32).ravel())

    def sample(i: Any, totals: list[Any]) -> tuple[Any, list[Any]]:
        u, v = Points(seed, i).pair(mi.UInt32(0))
        origin, direction = ray(mi.Float(column) + u, mi.Float(row) + v)
        vertex, met = scene.all.meet(origin, direction, inside, coherent=True)
        surface = dr.gather(mi.UInt32, scene.surface_of_face, vertex.face, met.ends)
        kind = dr.gather(mi.Vector4f, table, 2 * surface + 1, met.ends)
        distance = dr.minimum(met.distance, FAR_M)
        if scene.glass is not None:
            vertex, met = scene.solid.meet(origin, direction, inside, coherent=True)
            surface = dr.gather(mi.UInt32, scene.surface_of_face, vertex.face, met.ends)
        x, y, z, _ = dr.gather(mi.Vector4f, table, 2 * surface, met.ends)
        colour = mi.Vector3f(x, y, z)
        if painting is not None:
            colour = painting.colour_over(colour, vertex, surface, met.ends)
        normal = dr.select(met.ends, vertex.shading, 0.0)
        values = [*colour, *normal, distance, kind.x, kind.y]
        return i + 1, [total + value for total, value in zip(totals, values, strict=True)]

    zeros = [dr.zeros(mi.Float, film.lanes) for _ in range(9)]
    count = dr.opaque(mi.UInt32, FEATURE_SAMPLES)
    _, totals = loop((mi.UInt32(0), zeros), lambda i, _: i < count, sample, label="features")
    means = [picture / np.float32(FEATURE_SAMPLES) for picture in film.pictures(totals)]
    return Features(np.stack(means[0:3], axis=-1), np.stack(means[3:6], axis=-1), *means[6:])


def _values(surface: Surface) -> list[float]:
    red, green, blue = np.clip(linear_srgb_under_d65(surface.finish.base), 0.0, 1.0)
    return [red, green, blue, 0.0, surface.kind == "subject", surface.kind == "backdrop", 0.0, 0.0]
