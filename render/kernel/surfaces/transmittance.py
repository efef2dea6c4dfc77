"""Transmittance of clear surfaces along shadow rays."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from render.kernel.backend import mitsuba
from render.kernel.loops import while_loop
from render.kernel.scene import ClearSurfaces
from render.kernel.surface_point import ShadingFrame, SurfacePoint
from render.kernel.wavelengths import SampledWavelengths

from .bsdf_table import BsdfTable

MAX_SURFACES = 16


@dataclass(frozen=True)
class Transmittance:
    """The transmittance of a scene's clear surfaces."""

    surfaces: ClearSurfaces
    bsdfs: BsdfTable

    def between(self, point: SurfacePoint, target: Any, wavelengths: SampledWavelengths, active: Any) -> list[Any]:
        """Return the fraction of the light that goes straight from a target to a surface point, at each wavelength.

        Surfaces beyond the first 16 are left out.
        """
        import drjit as dr

        mi = mitsuba()
        to_target = target - point.position
        distance = dr.norm(to_target)
        direction = to_target / distance

        def cross_next(count: Any, last: SurfacePoint, left: Any, fraction: list[Any], going: Any) -> tuple[Any, ...]:
            origin = last.ray_origin(direction)
            hit, segment = self.surfaces.mesh.intersect(origin, direction, going)
            left = left - segment.t_max
            going = going & segment.hits & (left > 0.0) & (count < MAX_SURFACES)
            surface = dr.gather(mi.UInt32, self.surfaces.surface_of_triangle, hit.triangle, going)
            cosine = ShadingFrame(hit).to_local(hit.outgoing).z
            transmittance = self.bsdfs.transmittance(surface, cosine, wavelengths, going)
            fraction = [dr.select(going, f * t, f) for f, t in zip(fraction, transmittance, strict=True)]
            position = dr.select(going, hit.position, last.position)
            return count + 1, replace(hit, position=position), left, fraction, going

        start = (mi.UInt32(0), point, distance, [mi.Float(1.0)] * wavelengths.count, mi.Bool(active))
        *_, fraction, _ = while_loop(start, lambda *state: state[-1], cross_next, label="clear surfaces")
        return list(fraction)
