"""A geometry and its lamps, traced in passes: an image in bands of each lamp as if it alone were lit."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Geometry
from render.images.bands import BAND_COUNT, PLANE_COUNT
from render.kernel.emitters.from_lamps import emitters_of
from render.kernel.surfaces.bsdf_table import BsdfTable
from scenes.lamps.emitter_shape import EmitterShape

from .backend import mitsuba
from .features import Features, trace_features
from .film import Film
from .loops import while_loop
from .opaque import opaque_integer
from .paths.integrator import PathIntegrator
from .paths.path_state import LastScattering, PathState, Radiance
from .paths.sampler import Sampler, sequence_seed
from .paths.wavelengths import BandValues, SampledWavelengths
from .scene import Scene
from .tables import integer_table
from .workload import BACKDROP_PASS_SAMPLES, PASS_SAMPLES, workload_of


class Tracer:
    """Traces one geometry for any lamps.

    A `scene` of the same shape may be given, so that its mesh is built once: it has neither finishes nor camera.
    """

    def __init__(self, geometry: Geometry, scene: Scene | None = None) -> None:
        self.geometry = geometry
        self.workload = workload_of(mitsuba().variant())
        self.scene = scene or Scene(geometry)
        self.bsdfs = BsdfTable(geometry.surfaces, self.workload.wavelengths)
        self._film = Film(geometry.camera)

    @cached_property
    def features(self) -> Features:
        """The feature images of the geometry, which no light changes."""
        return trace_features(self.geometry.surfaces, self.scene, self.bsdfs, self._film)

    @cached_property
    def _samples(self) -> Any:
        """The samples that each lane takes in a pass."""
        more = self._film.lanes_near(self.features.backdrop < 1.0)
        return integer_table(np.where(more, PASS_SAMPLES, BACKDROP_PASS_SAMPLES))

    def images(self, lamps: Sequence[EmitterShape], number: int, group: int = 0, count: int = 1) -> NDArray[np.float32]:
        """Return the bands of `planes` alone: (lamps, bands, height, width)."""
        return self.planes(lamps, number, group, count)[:, :BAND_COUNT]

    def planes(self, lamps: Sequence[EmitterShape], number: int, group: int = 0, count: int = 1) -> NDArray[np.float32]:
        """Return pass `number` of each lamp's image: (lamps, planes, height, width).

        W/(m2 sr) in each band, then W/(m2 sr nm) of the specular and of the indirect part (`specular_part`,
        `indirect_part`), the means over wavelengths.
        With a `count`, the sum of that many passes of the same half: `number`, `number` + 2, and so on. Samples depend
        on the group and the pass alone, so that any pass can be traced again, in any order, with any other lamps. Even
        and odd passes are the halves: they take independent sequences of samples.
        """
        import drjit as dr

        camera = self.geometry.camera
        images = np.empty((len(lamps), PLANE_COUNT, camera.height, camera.width), np.float32)
        for first in range(0, len(lamps), self.workload.lamps):
            sums = self._sums(lamps[first : first + self.workload.lamps], number, group, count)
            planes = images[first : first + self.workload.lamps].reshape(-1, camera.height, camera.width)
            means = [band / mitsuba().Float(self._samples) for bands in sums for band in bands]
            for plane, image in zip(planes, self._film.images(means[: len(planes)]), strict=True):
                plane[:] = image
        dr.flush_malloc_cache()  # else Dr.Jit would keep as much memory as the images take
        return images

    def _sums(self, lamps: Sequence[EmitterShape], number: int, group: int, passes: int) -> list[BandValues]:
        """Return the sum over passes and samples for each lamp, and for the dark ones that may follow."""
        import drjit as dr

        mi = mitsuba()
        samples = self._samples  # first: what is traced for them in between would make another program
        integrator = PathIntegrator(self.scene, self.bsdfs, emitters_of(lamps))
        column, row, inside = self._film.lane_pixels()
        seed = sequence_seed(self._film.pixel_index(column, row), opaque_integer(2 * group + number % 2))
        first = opaque_integer(number // 2) * samples
        primary_ray = self._film.ray_generator()

        def add_sample(i: Any, sums: list[BandValues]) -> tuple[Any, list[BandValues]]:
            sampler = Sampler(seed, first + i)
            u, v = sampler.sample_2d(mi.UInt32(0))
            wavelengths = SampledWavelengths.sample(self.workload.wavelengths, sampler.sample_2d(mi.UInt32(1))[0])
            ray = primary_ray(mi.Float(column) + u, mi.Float(row) + v)
            radiance = self._radiance(integrator, sampler, wavelengths, ray, inside)
            return i + 1, _add_planes(sums, wavelengths, radiance)

        zeros = [[dr.zeros(mi.Float, self._film.lane_count) for _ in range(PLANE_COUNT)] for _ in integrator.emitters]
        count = opaque_integer(passes) * samples
        _, sums = while_loop((mi.UInt32(0), zeros), lambda i, _: i < count, add_sample, label="samples")
        return list(sums)

    def _radiance(
        self,
        integrator: PathIntegrator,
        sampler: Sampler,
        wavelengths: SampledWavelengths,
        ray: tuple[Any, Any],
        active: Any,
    ) -> Radiance:
        """Return the radiance along primary rays, by wavelength and of its two parts, which begin as none.

        Emitters that they hit have a weight of 1, by an infinite density.
        """
        import drjit as dr

        mi = mitsuba()
        origin, direction = ray
        point, segment = self.scene.all_surfaces.intersect(origin, direction, active, coherent=True)
        throughput, radiance = [mi.Float(1.0)] * (wavelengths.count + 1), integrator.no_radiance(wavelengths.count + 2)
        camera = LastScattering(mi.Vector3f(origin), mi.Float(dr.inf), segment.t_max, mi.UInt32(0))
        path = PathState(sampler, wavelengths, point, throughput, mi.UInt32(0), active, radiance, camera)
        path.radiance = integrator.add_hit_emitters(path, segment)
        path.active = segment.hits
        return integrator.trace(path)


def _add_planes(sums: list[BandValues], wavelengths: SampledWavelengths, radiance: Radiance) -> list[BandValues]:
    """Return the sums in bands and parts of each emitter with a path's radiance added."""
    count = wavelengths.count
    bands = add_bands([planes[:BAND_COUNT] for planes in sums], wavelengths, [values[:count] for values in radiance])
    parts = [
        [total + part for total, part in zip(planes[BAND_COUNT:], values[count:], strict=True)]
        for planes, values in zip(sums, radiance, strict=True)
    ]
    return [[*of_bands, *of_parts] for of_bands, of_parts in zip(bands, parts, strict=True)]


def add_bands(sums: list[BandValues], wavelengths: SampledWavelengths, radiance: Radiance) -> list[BandValues]:
    """Return the sums in bands of each emitter with a path's radiance added."""
    return [
        [total + band for total, band in zip(bands, wavelengths.integrate_bands(values), strict=True)]
        for bands, values in zip(sums, radiance, strict=True)
    ]
