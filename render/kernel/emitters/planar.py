"""Flat emitters: rectangles, discs and rings that send light from their front, sampled by area."""

from __future__ import annotations

from typing import Any

import numpy as np

from render.kernel.backend import mitsuba
from render.kernel.opaque import opaque_float, opaque_vector
from render.kernel.surface_point import RaySegment
from scenes.lamps.emitter_shape import EmitterShape

from .emitter import EmitterSample
from .intensity import IntensityTable


def is_front(cosine: Any) -> Any:
    """Return whether light leaves a flat emitter at an angle of this cosine to its normal."""
    return cosine > 0.0


class Panel:
    """A rectangle."""

    def __init__(self, lamp: EmitterShape) -> None:
        self.centre, self.width_axis, self.height_axis, self.normal = map(opaque_vector, (lamp.at, *lamp.axes.T))
        self.half_width, self.half_height, self.area = map(opaque_float, (*lamp.half, lamp.etendue / np.pi))
        self.intensity = None if lamp.intensity is None else IntensityTable(lamp.intensity)

    def sample(self, position: Any, u: Any, v: Any) -> EmitterSample:
        """Return a point uniform over the area."""
        import drjit as dr

        x, y = self._sample_unit(u, v)
        point = self.centre + self.width_axis * (x * self.half_width) + self.height_axis * (y * self.half_height)
        from_point = position - point
        distance_2 = dr.squared_norm(from_point)
        leaving = self._to_local(from_point) * dr.rsqrt(distance_2)
        return EmitterSample(point, self._radiance(leaving), self._pdf(distance_2, leaving.z))

    def evaluate(self, segment: RaySegment) -> tuple[Any, Any]:
        """Return the radiance of the front where a ray hits it, and the density of that direction."""
        import drjit as dr

        leaving = -self._to_local(segment.direction)
        origin = self._to_local(segment.origin - self.centre)
        distance = origin.z / leaving.z
        hit = origin - leaving * distance
        inside = self._contains(hit.x / self.half_width, hit.y / self.half_height)
        is_hit = inside & is_front(leaving.z) & (distance > segment.t_min) & (distance < segment.t_max)
        return dr.select(is_hit, self._radiance(leaving), 0.0), self._pdf(distance * distance, leaving.z)

    def _to_local(self, direction: Any) -> Any:
        """Return the components of a vector along width, height and normal."""
        import drjit as dr

        axes = (self.width_axis, self.height_axis, self.normal)
        return mitsuba().Vector3f(*(dr.dot(direction, axis) for axis in axes))

    def _radiance(self, leaving: Any) -> Any:
        import drjit as dr

        return 1.0 if self.intensity is None else self.intensity.lookup(leaving) / dr.maximum(leaving.z, 1e-6)

    def _pdf(self, distance_2: Any, cosine: Any) -> Any:
        import drjit as dr

        return dr.select(is_front(cosine), distance_2 / (self.area * dr.abs(cosine)), dr.inf)

    def _sample_unit(self, u: Any, v: Any) -> tuple[Any, Any]:
        """Return a point uniform over the shape whose half width and half height are 1."""
        return 2.0 * u - 1.0, 2.0 * v - 1.0

    def _contains(self, x: Any, y: Any) -> Any:
        """Return whether that shape contains a point."""
        import drjit as dr

        return dr.maximum(dr.abs(x), dr.abs(y)) <= 1.0


class Disc(Panel):
    """A disc."""

    def _sample_unit(self, u: Any, v: Any) -> tuple[Any, Any]:
        x, y = mitsuba().warp.square_to_uniform_disk_concentric(mitsuba().Point2f(u, v))
        return x, y

    def _contains(self, x: Any, y: Any) -> Any:
        return x * x + y * y <= 1.0


class Ring(Panel):
    """A disc with a concentric hole."""

    def __init__(self, lamp: EmitterShape) -> None:
        super().__init__(lamp)
        self.half_height = self.half_width
        self.hole_2 = opaque_float((lamp.half[1] / lamp.half[0]) ** 2)

    def _sample_unit(self, u: Any, v: Any) -> tuple[Any, Any]:
        import drjit as dr

        radius, azimuth = dr.sqrt(dr.lerp(self.hole_2, 1.0, u)), dr.two_pi * v
        return radius * dr.cos(azimuth), radius * dr.sin(azimuth)

    def _contains(self, x: Any, y: Any) -> Any:
        radius_2 = x * x + y * y
        return (radius_2 >= self.hole_2) & (radius_2 <= 1.0)
