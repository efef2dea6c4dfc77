"""Feature images: what the camera sees before any light. They guide the denoiser and mask subject and backdrop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from materials.arrays import Image
from materials.colour.srgb import linear_srgb_under_d65
from render.description.scene import Surface
from render.kernel.surfaces.textures import Textures

from .backend import mitsuba
from .film import Film
from .loops import while_loop
from .opaque import opaque_integer
from .sampler import Sampler, sequence_seed
from .scene import Scene

FEATURE_SAMPLES = 16
MAX_DEPTH_M = 1e3


@dataclass(frozen=True, eq=False)
class Features:
    """Means over each pixel: albedo and normal (h, w, 3), depth in m (h, w), coverage by subject and by backdrop."""

    albedo: Image
    normal: Image
    depth: Image
    subject: Image
    backdrop: Image


def trace_features(surfaces: Sequence[Surface], scene: Scene, textures: Textures | None, film: Film) -> Features:
    """Return the feature images of a scene; albedo and normal are of the first surface that is not clear."""
    import drjit as dr

    mi = mitsuba()
    column, row, inside = film.lane_pixels()
    primary_ray = film.ray_generator()
    seed = sequence_seed(film.pixel_index(column, row), mi.UInt32(0))
    table = mi.Float(np.array([_surface_values(s) for s in surfaces] or [[0.0] * 8], dtype=np.float32).ravel())

    def add_sample(i: Any, sums: list[Any]) -> tuple[Any, list[Any]]:
        u, v = Sampler(seed, i).sample_2d(mi.UInt32(0))
        origin, direction = primary_ray(mi.Float(column) + u, mi.Float(row) + v)
        point, segment = scene.all_surfaces.intersect(origin, direction, inside, coherent=True)
        surface = dr.gather(mi.UInt32, scene.surface_of_triangle, point.triangle, segment.hits)
        coverage = dr.gather(mi.Vector4f, table, 2 * surface + 1, segment.hits)
        depth = dr.minimum(segment.t_max, MAX_DEPTH_M)
        if scene.clear_surfaces is not None:
            point, segment = scene.occluders.intersect(origin, direction, inside, coherent=True)
            surface = dr.gather(mi.UInt32, scene.surface_of_triangle, point.triangle, segment.hits)
        red, green, blue, _ = dr.gather(mi.Vector4f, table, 2 * surface, segment.hits)
        albedo = mi.Vector3f(red, green, blue)
        if textures is not None:
            albedo = textures.linear_srgb(albedo, point, surface, segment.hits)
        normal = dr.select(segment.hits, point.shading_normal, 0.0)
        values = [*albedo, *normal, depth, coverage.x, coverage.y]
        return i + 1, [total + value for total, value in zip(sums, values, strict=True)]

    zeros = [dr.zeros(mi.Float, film.lane_count) for _ in range(9)]
    count = opaque_integer(FEATURE_SAMPLES)
    _, sums = while_loop((mi.UInt32(0), zeros), lambda i, _: i < count, add_sample, label="features")
    means = [image / np.float32(FEATURE_SAMPLES) for image in film.images(sums)]
    return Features(np.stack(means[0:3], axis=-1), np.stack(means[3:6], axis=-1), *means[6:])


def _surface_values(surface: Surface) -> list[float]:
    """Return linear sRGB, one unused; coverage by subject and by backdrop, two unused."""
    red, green, blue = np.clip(linear_srgb_under_d65(surface.finish.base), 0.0, 1.0)
    return [red, green, blue, 0.0, surface.kind == "subject", surface.kind == "backdrop", 0.0, 0.0]
