"""The state of a path on its way from surface point to surface point."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

from render.kernel.surface_point import SurfacePoint

from .sampler import Sampler
from .wavelengths import SampledWavelengths

PAIRS_BEFORE_PATH = 2
PAIRS_PER_POINT = 3
"""Pairs of sample dimensions: first the position on the film and the wavelengths; at each surface point one for the
emitters, one for lobe and Russian roulette, one for the direction.
"""
Radiance: TypeAlias = list[list[Any]]
"""Radiance by emitter and wavelength; of a camera's path the last two values are of its parts, specular and indirect
(`specular_part`, `indirect_part`).
"""


@dataclass
class LastScattering:
    """Where a path last sampled its direction: the ray's origin, the density (1/sr), and the distance gone since (m).

    That may be several surface points back, since a path goes straight through see-through surfaces. The MIS weight of
    an emitter that the ray hits is for this origin. `number` counts the path's scatterings up to there.
    """

    origin: Any
    pdf: Any
    distance: Any
    number: Any


@dataclass
class PathState:
    """A path at a surface point: throughput by wavelength, the number of surface points before, the radiance so far.

    Throughput may have one more value, of the specular part (`specular_part`), and radiance then one more again, of
    the indirect part (`indirect_part`).
    """

    sampler: Sampler
    wavelengths: SampledWavelengths
    point: SurfacePoint
    throughput: list[Any]
    depth: Any
    active: Any
    radiance: Radiance
    last_scattering: LastScattering

    @property
    def first_pair(self) -> Any:
        """The number of the first pair of sample dimensions at this point."""
        return PAIRS_BEFORE_PATH + PAIRS_PER_POINT * self.depth
