"""Transmittance of see-through surfaces along shadow rays."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import reduce
from typing import Any

from render.kernel.backend import mitsuba
from render.kernel.loops import while_loop
from render.kernel.scene import Scene, SeeThrough
from render.kernel.surface_point import SurfacePoint
from render.kernel.wavelengths import SampledWavelengths

from .bsdf_table import BsdfTable

MAX_SURFACES = 64
"""Surfaces along a shadow ray that are followed, as of a stack of cut-out leaves."""


@dataclass(frozen=True)
class Transmittance:
    """The transmittance of a scene's see-through surfaces."""

    scene: Scene
    surfaces: SeeThrough
    bsdfs: BsdfTable

    def between(self, point: SurfacePoint, target: Any, wavelengths: SampledWavelengths, active: Any) -> list[Any]:
        """Return the fraction of the light that goes straight from a target to a surface point, at each wavelength.

        Surfaces beyond the first 64 are left out.
        """
        import drjit as dr

        mi = mitsuba()
        to_target = target - point.position
        distance = dr.norm(to_target)
        direction = to_target / distance

        def cross_next(count: Any, last: SurfacePoint, left: Any, fraction: list[Any], going: Any) -> tuple[Any, ...]:
            origin = last.ray_origin(direction)
            hit, segment = self.surfaces.intersect(origin, direction, going)
            left = left - segment.t_max
            going = going & segment.hits & (left > 0.0) & (count < MAX_SURFACES)
            surface = dr.gather(mi.UInt32, self.scene.surface_of_triangle, hit.triangle, going)
            transmittance = self.bsdfs.transmittance(hit, surface, wavelengths, going)
            fraction = [dr.select(going, f * t, f) for f, t in zip(fraction, transmittance, strict=True)]
            going &= reduce(dr.maximum, fraction) > 0.0
            position = dr.select(going, hit.position, last.position)
            return count + 1, replace(hit, position=position), left, fraction, going

        start = (mi.UInt32(0), point, distance, [mi.Float(1.0)] * wavelengths.count, mi.Bool(active))
        *_, fraction, _ = while_loop(start, lambda *state: state[-1], cross_next, label="see-through surfaces")
        return list(fraction)
