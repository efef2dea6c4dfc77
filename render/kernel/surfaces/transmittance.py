"""Transmittance along shadow rays through see-through surfaces."""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce
from typing import Any

from render.kernel.backend import mitsuba
from render.kernel.loops import while_loop
from render.kernel.paths.wavelengths import SampledWavelengths
from render.kernel.scene import Scene
from render.kernel.surface_point import OFFSET, SurfacePoint

from .bsdf_table import BsdfTable

MAX_SURFACES = 64
"""Surfaces along a shadow ray that are followed, as of a stack of cut-out leaves."""


@dataclass(frozen=True)
class Transmittance:
    """The transmittance between points of a scene that has see-through surfaces."""

    scene: Scene
    bsdfs: BsdfTable

    def between(self, point: SurfacePoint, target: Any, wavelengths: SampledWavelengths, active: Any) -> list[Any]:
        """Return the fraction of the light that goes straight from a target to a surface point, at each wavelength.

        It is 0 where an opaque surface lies between, or more than 64 see-through ones, and 1 in lanes that are not
        active.
        """
        import drjit as dr

        mi = mitsuba()
        to_target = target - point.position
        distance = dr.norm(to_target)
        direction = to_target / distance

        def cross_next(count: Any, origin: Any, left: Any, fraction: list[Any], going: Any) -> tuple[Any, ...]:
            hit, segment = self.scene.all_surfaces.intersect(origin, direction, going)
            left = left - segment.t_max
            going = going & segment.hits & (left > 0.0)
            surface = dr.gather(mi.UInt32, self.scene.surface_of_triangle, hit.triangle, going)
            transmittance = self.bsdfs.transmittance(hit, surface, wavelengths, going)
            fraction = [dr.select(going, f * t, f) for f, t in zip(fraction, transmittance, strict=True)]
            fraction = [dr.select(going & (count >= MAX_SURFACES), 0.0, f) for f in fraction]
            going &= reduce(dr.maximum, fraction) > 0.0
            is_hole = ~self.bsdfs.is_clear(surface, going)
            return count + 1, hit.straight_origin(direction, is_hole), left, fraction, going

        reach = distance * (1.0 - 10 * OFFSET)
        ones = [mi.Float(1.0)] * wavelengths.count
        start = (mi.UInt32(0), point.ray_origin(direction), reach, ones, mi.Bool(active))
        *_, fraction, _ = while_loop(start, lambda *state: state[-1], cross_next, label="see-through surfaces")
        return list(fraction)
