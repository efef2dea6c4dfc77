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
from .paths.sampler import Sampler, sequence_seed
from .scene import Scene
from .surface_point import RaySegment, SurfacePoint
from .tables import float_table

FEATURE_SAMPLES = 16
MAX_DEPTH_M = 1e3
BODY_VALUES, FIRST_VALUES = 7, 3
"""Values of the first surface that is not clear (albedo, normal, depth), and of the first (depth, two coverages)."""
LEAST_LEFT, MOST_SURFACES = 1 / 512, 64
"""How much a ray has to see through surfaces to be followed, and how many of them."""


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

    @property
    def nbytes(self) -> int:
        """The memory that the images take."""
        return sum(image.nbytes for image in vars(self).values())


def trace_features(surfaces: Sequence[Surface], scene: Scene, bsdfs: BsdfTable, film: Film) -> Features:
    """Return the feature images of a scene: see `Features`.

    Depth and coverage are of the first surface, albedo, normal and `body_depth` of the first that is not clear. Of what
    is partly there they are weighted by its opacity, the rest is of what is seen through it.
    """
    import drjit as dr

    mi = mitsuba()
    column, row, inside = film.lane_pixels()
    primary_ray = film.ray_generator()
    seed = sequence_seed(film.pixel_index(column, row), mi.UInt32(0))
    seen = _Seen(surfaces, scene, bsdfs)

    def add_sample(i: Any, sums: list[Any]) -> tuple[Any, list[Any]]:
        u, v = Sampler(seed, i).sample_2d(mi.UInt32(0))
        origin, direction = primary_ray(mi.Float(column) + u, mi.Float(row) + v)
        point, segment = scene.all_surfaces.intersect(origin, direction, inside, coherent=True)
        values = seen.through(point, segment) if scene.has_see_through else seen.at(point, segment)
        return i + 1, [total + value for total, value in zip(sums, values, strict=True)]

    zeros = [dr.zeros(mi.Float, film.lane_count) for _ in range(BODY_VALUES + FIRST_VALUES)]
    count = opaque_integer(FEATURE_SAMPLES)
    _, sums = while_loop((mi.UInt32(0), zeros), lambda i, _: i < count, add_sample, label="features")
    means = [image / np.float32(FEATURE_SAMPLES) for image in film.images(sums)]
    albedo, normal = np.stack(means[0:3], axis=-1), np.stack(means[3:6], axis=-1)
    body_depth, depth, subject, backdrop = means[6:]
    return Features(albedo, normal, depth, subject, backdrop, body_depth)


class _Seen:
    """The values of features at surface points: albedo, normal, distance of a body, then distance and coverages."""

    def __init__(self, surfaces: Sequence[Surface], scene: Scene, bsdfs: BsdfTable) -> None:
        self.scene = scene
        self.bsdfs = bsdfs
        rows = [_surface_values(surface) for surface in surfaces] or [[0.0] * 8]
        self._table = float_table(rows)

    def at(self, point: SurfacePoint, segment: RaySegment) -> list[Any]:
        """Return the values at a point that a ray hits, or of one that hits nothing."""
        import drjit as dr

        mi = mitsuba()
        surface = dr.gather(mi.UInt32, self.scene.surface_of_triangle, point.triangle, segment.hits)
        coverage = dr.gather(mi.Vector4f, self._table, 2 * surface + 1, segment.hits)
        red, green, blue, _ = dr.gather(mi.Vector4f, self._table, 2 * surface, segment.hits)
        albedo = mi.Vector3f(red, green, blue)
        if self.bsdfs.textures is not None:
            albedo = self.bsdfs.textures.linear_srgb(albedo, point, surface, segment.hits)
        normal = dr.select(segment.hits, point.shading_normal, 0.0)
        depth = dr.minimum(segment.t_max, MAX_DEPTH_M)
        return [*albedo, *normal, depth, depth, coverage.x, coverage.y]

    def through(self, point: SurfacePoint, segment: RaySegment) -> list[Any]:
        """Return the values of all that is seen through see-through surfaces, from the first point that a ray hits."""
        import drjit as dr

        mi = mitsuba()

        def add_point(
            number: Any, point: SurfacePoint, segment: RaySegment, left: tuple[Any, Any], *state: Any
        ) -> tuple[Any, ...]:
            sums, going = state
            surface = dr.gather(mi.UInt32, self.scene.surface_of_triangle, point.triangle, going & segment.hits)
            opacity = self._opacity(point, surface, going & segment.hits)
            is_body = ~self.bsdfs.is_clear(surface, going & segment.hits) | ~segment.hits
            first = left[0] * opacity
            body = dr.select(is_body, left[1] * opacity, 0.0)
            weights = [body] * BODY_VALUES + [first] * FIRST_VALUES
            sums = [dr.fma(w, value, s) for w, value, s in zip(weights, self.at(point, segment), sums, strict=True)]
            left = (left[0] - first, left[1] - body)
            going = going & segment.hits & (left[1] > LEAST_LEFT) & (number < MOST_SURFACES)
            direction = -point.outgoing
            next_origin = point.straight_origin(direction, opacity < 1.0)
            point, beyond = self.scene.all_surfaces.intersect(next_origin, direction, going)
            segment = RaySegment(next_origin, direction, segment.t_max + beyond.t_max, segment.t_max)
            return number + 1, point, segment, left, sums, going

        zeros = [mi.Float(0.0)] * (BODY_VALUES + FIRST_VALUES)
        segment = RaySegment(mi.Vector3f(segment.origin), segment.direction, segment.t_max, mi.Float(0.0))
        start = (mi.UInt32(0), point, segment, (mi.Float(1.0), mi.Float(1.0)), zeros, mi.Bool(True))
        *_, sums, _ = while_loop(start, lambda *state: state[-1], add_point, label="see-through surfaces")
        return list(sums)

    def _opacity(self, point: SurfacePoint, surface: Any, active: Any) -> Any:
        opacities = self.bsdfs.opacities
        return mitsuba().Float(1.0) if opacities is None else opacities.lookup(point, surface, active)


def _surface_values(surface: Surface) -> list[float]:
    """Return linear sRGB, one unused; coverage by subject and by backdrop, two unused."""
    red, green, blue = np.clip(linear_srgb_under_d65(surface.finish.base), 0.0, 1.0)
    return [red, green, blue, 0.0, surface.kind == "subject", surface.kind == "backdrop", 0.0, 0.0]
