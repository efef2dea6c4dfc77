"""Spherical emitters: bulbs, sampled by the cone of directions in which they are seen."""

from __future__ import annotations

from typing import Any

from render.kernel.backend import mitsuba
from render.kernel.opaque import opaque_float, opaque_vector
from render.kernel.surface_point import RaySegment
from scenes.lamps.emitter_shape import EmitterShape

from .emitter import EmitterSample
from .intensity import IntensityTable


class Bulb:
    """A sphere that sends light outwards."""

    def __init__(self, lamp: EmitterShape) -> None:
        self.centre, self.radius = opaque_vector(lamp.at), opaque_float(lamp.half[0])
        self.axes = [opaque_vector(axis) for axis in lamp.axes.T]
        self.intensity = None if lamp.intensity is None else IntensityTable(lamp.intensity)

    def sample(self, position: Any, u: Any, v: Any) -> EmitterSample:
        """Return a point whose direction is uniform over the cone."""
        import drjit as dr

        mi = mitsuba()
        to_centre = self.centre - position
        distance = dr.norm(to_centre)
        cone = self._cone(distance)
        # 1 - cosine of the angle to the axis: exact for small bulbs far away
        versine = u * cone
        sine_2 = versine * (2.0 - versine)
        cosine = 1.0 - versine
        to_point = distance * cosine - dr.safe_sqrt(self.radius * self.radius - distance * distance * sine_2)
        sine, azimuth = dr.sqrt(sine_2), dr.two_pi * v
        local = mi.Vector3f(sine * dr.cos(azimuth), sine * dr.sin(azimuth), cosine)
        direction = mi.Frame3f(to_centre / distance).to_world(local)
        return EmitterSample(position + direction * to_point, self._radiance(-direction), self._pdf(distance, cone))

    def evaluate(self, segment: RaySegment) -> tuple[Any, Any]:
        """Return the radiance where a ray from outside hits the sphere, and the density of that direction."""
        import drjit as dr

        to_centre = self.centre - segment.origin
        along = dr.dot(to_centre, segment.direction)
        half_chord_2 = self.radius * self.radius - dr.squared_norm(to_centre - segment.direction * along)
        to_hit = along - dr.safe_sqrt(half_chord_2)
        distance = dr.norm(to_centre)
        is_hit = (half_chord_2 >= 0.0) & (to_hit > segment.t_min) & (to_hit < segment.t_max)
        radiance = dr.select(is_hit, self._radiance(-segment.direction), 0.0)
        return radiance, self._pdf(distance, self._cone(distance))

    def _radiance(self, leaving: Any) -> Any:
        import drjit as dr

        if self.intensity is None:
            return 1.0
        return self.intensity.lookup(mitsuba().Vector3f(*(dr.dot(leaving, axis) for axis in self.axes)))

    def _cone(self, distance: Any) -> Any:
        """Return 1 - cosine of the half angle of the cone."""
        import drjit as dr

        sine_2 = dr.minimum(dr.square(self.radius / distance), 1.0)
        return sine_2 / (1.0 + dr.sqrt(1.0 - sine_2))

    def _pdf(self, distance: Any, cone: Any) -> Any:
        import drjit as dr

        return dr.select(distance > self.radius, dr.inv_two_pi / cone, dr.inf)
