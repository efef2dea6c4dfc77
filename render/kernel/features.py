"""Feature images: what the camera sees before any light. They guide the denoiser and mask subject and backdrop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from materials.arrays import Image
from materials.colour.srgb import linear_srgb_under_d65
from render.description.scene import Surface
from render.kernel.surfaces.bsdf_table import BsdfTable

from .backend import mitsuba
from .film import Film
from .loops import while_loop
from .opaque import opaque_integer
from .sampler import Sampler, sequence_seed
from .scene import Scene
from .sight import Sight, first_seen

FEATURE_SAMPLES = 16
MAX_DEPTH_M = 1e3


@dataclass(frozen=True, eq=False)
class Features:
    """Means over each pixel: albedo and normal (h, w, 3), depth in m (h, w), coverage by subject and by backdrop.

    `body_depth` is that of the first surface that is not clear: of what stands behind glass.
    """

    albedo: Image
    normal: Image
    depth: Image
    subject: Image
    backdrop: Image
    body_depth: Image


def trace_features(surfaces: Sequence[Surface], scene: Scene, bsdfs: BsdfTable, film: Film) -> Features:
    """Return the feature images of a scene: see `Features`.

    Depth and coverage are of the first surface that is there, by its opacity; albedo, normal and `body_depth` of the
    first such that is not clear.
    """
    import drjit as dr

    mi = mitsuba()
    column, row, inside = film.lane_pixels()
    primary_ray = film.ray_generator()
    seed = sequence_seed(film.pixel_index(column, row), mi.UInt32(0))
    table = mi.Float(np.array([_surface_values(s) for s in surfaces] or [[0.0] * 8], dtype=np.float32).ravel())

    def add_sample(i: Any, sums: list[Any]) -> tuple[Any, list[Any]]:
        sampler = Sampler(seed, i)
        u, v = sampler.sample_2d(mi.UInt32(0))
        origin, direction = primary_ray(mi.Float(column) + u, mi.Float(row) + v)
        point, segment = scene.all_surfaces.intersect(origin, direction, inside, coherent=True)
        first, body = Sight(point, segment.t_max), None
        if scene.see_through is not None:
            first, body = first_seen(scene, bsdfs, first, sampler)
        surface = dr.gather(mi.UInt32, scene.surface_of_triangle, first.point.triangle, first.hits)
        coverage = dr.gather(mi.Vector4f, table, 2 * surface + 1, first.hits)
        depth = dr.minimum(first.distance, MAX_DEPTH_M)
        if body is not None:
            surface = dr.gather(mi.UInt32, scene.surface_of_triangle, body.point.triangle, body.hits)
        seen = first if body is None else body
        red, green, blue, _ = dr.gather(mi.Vector4f, table, 2 * surface, seen.hits)
        albedo = mi.Vector3f(red, green, blue)
        if bsdfs.textures is not None:
            albedo = bsdfs.textures.linear_srgb(albedo, seen.point, surface, seen.hits)
        normal = dr.select(seen.hits, seen.point.shading_normal, 0.0)
        values = [*albedo, *normal, depth, coverage.x, coverage.y, dr.minimum(seen.distance, MAX_DEPTH_M)]
        return i + 1, [total + value for total, value in zip(sums, values, strict=True)]

    zeros = [dr.zeros(mi.Float, film.lane_count) for _ in range(10)]
    count = opaque_integer(FEATURE_SAMPLES)
    _, sums = while_loop((mi.UInt32(0), zeros), lambda i, _: i < count, add_sample, label="features")
    means = [image / np.float32(FEATURE_SAMPLES) for image in film.images(sums)]
    return Features(np.stack(means[0:3], axis=-1), np.stack(means[3:6], axis=-1), *means[6:])


def _surface_values(surface: Surface) -> list[float]:
    """Return linear sRGB, one unused; coverage by subject and by backdrop, two unused."""
    red, green, blue = np.clip(linear_srgb_under_d65(surface.finish.base), 0.0, 1.0)
    return [red, green, blue, 0.0, surface.kind == "subject", surface.kind == "backdrop", 0.0, 0.0]
