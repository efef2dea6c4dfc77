"""Incident light at points and areas, by the same paths as the images: in bands, in independent batches."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Meter
from render.images.bands import BAND_COUNT, band_nodes
from render.kernel.emitters.emitter import Emitter, EmitterSample
from render.kernel.emitters.from_lamps import emitters_of
from scenes.lamps.emitter_shape import EmitterShape

from .backend import mitsuba
from .loops import while_loop
from .opaque import opaque_integer
from .paths.integrator import PathIntegrator
from .paths.path_state import LastScattering, PathState
from .paths.sampler import Sampler, sequence_seed
from .paths.wavelengths import BandValues, SampledWavelengths
from .surface_point import RaySegment, SurfacePoint
from .tables import float_table, integer_table
from .trace import Tracer, add_bands

BATCHES = 16
MAX_LANE_SAMPLES = 16
NEGLIGIBLE_PDF = 1e-20
"""What the MIS weights take for the density of a meter's ray: an emitter that it hits through see-through surfaces then
has a weight of 0, as `_straight_through` counts it.
"""
FAR_M = 1e3
"""Distance to which the environment is looked for through see-through surfaces."""


def irradiance(
    tracer: Tracer, lamps: Sequence[EmitterShape], meters: Sequence[Meter], samples: int, seed: int | Sequence[int] = 0
) -> NDArray[np.float64]:
    """Return the irradiance of each meter from each lamp: (lamps, batches, 2, meters, bands), W/m2 in each band.

    The third axis is direct light, then indirect; that straight through see-through surfaces is direct. A meter's own
    plate is not in the scene. `samples` are for each meter, in multiples of the 16 batches, which are independent.
    A meter's samples depend on the seed and the batch alone, and not on what else is measured with it: meters have the
    same errors where they share a seed, and independent ones where `seed` has one for each.
    """
    most = tracer.workload.lamps
    parts = [lamps[first : first + most] for first in range(0, len(lamps), most)]
    seeds = np.broadcast_to(np.asarray(seed, np.uint32), len(meters))
    return np.concatenate([_irradiance(tracer, part, meters, samples, seeds) for part in parts])


def _irradiance(
    tracer: Tracer, lamps: Sequence[EmitterShape], meters: Sequence[Meter], samples: int, seeds: NDArray[np.uint32]
) -> NDArray[np.float64]:
    """Return the irradiance from lamps that share paths. A cell is a meter in a batch; it has a lane or several."""
    import drjit as dr

    mi = mitsuba()
    integrator = PathIntegrator(tracer.scene, tracer.bsdfs, emitters_of(lamps))
    lane_samples = min(MAX_LANE_SAMPLES, samples // BATCHES)
    cell_lanes = samples // BATCHES // lane_samples
    lane = dr.arange(mi.UInt32, BATCHES * len(meters) * cell_lanes)
    cell = lane // opaque_integer(cell_lanes)
    first = lane % opaque_integer(cell_lanes) * lane_samples
    batch, meter = cell // opaque_integer(len(meters)), cell % opaque_integer(len(meters))
    sequence = sequence_seed(batch, dr.gather(mi.UInt32, integer_table(seeds), meter))
    plates = _Plates(meters, meter)

    def add_sample(i: Any, direct: list[Any], *sums: list[BandValues]) -> tuple[Any, ...]:
        sampler = Sampler(sequence, first + i)
        wavelengths = SampledWavelengths.sample(tracer.workload.wavelengths, sampler.sample_2d(mi.UInt32(1))[0])
        plate = plates.sample(*sampler.sample_2d(mi.UInt32(0)))
        values, *radiance = _sample(integrator, sampler, wavelengths, plate)
        direct = [total + value for value, total in zip(values, direct, strict=True)]
        return i + 1, direct, *(add_bands(sum_, wavelengths, found) for sum_, found in zip(sums, radiance, strict=True))

    def no_bands() -> list[BandValues]:
        return [[dr.zeros(mi.Float, dr.width(lane)) for _ in range(BAND_COUNT)] for _ in integrator.emitters]

    direct = [dr.zeros(mi.Float, dr.width(lane)) for _ in integrator.emitters]
    straight = () if integrator.transmittance is None else (no_bands(),)
    state, count = (mi.UInt32(0), direct, no_bands(), *straight), opaque_integer(lane_samples)
    _, direct, indirect, *straight = while_loop(state, lambda i, *_: i < count, add_sample, label="meters")
    dr.eval(direct, indirect, straight)

    def cell_means(values: Any) -> NDArray[np.float64]:
        lanes = np.array(values, dtype=np.float64).reshape(BATCHES, len(meters), cell_lanes)
        return np.asarray(lanes.mean(axis=-1) / lane_samples)

    # lamps have a flat spectrum, so that direct light has one value at all wavelengths
    direct_bands = [cell_means(lamp)[..., None] * _band_widths() for lamp in direct]
    indirect_bands, *straight_bands = (
        np.array([np.stack([cell_means(band) for band in lamp], axis=-1) for lamp in sums])
        for sums in (indirect, *straight)
    )
    return np.stack([sum(straight_bands, np.array(direct_bands)), indirect_bands], axis=2)[: len(lamps)]


def _sample(
    integrator: PathIntegrator, sampler: Sampler, wavelengths: SampledWavelengths, plate: SurfacePoint
) -> tuple[Any, ...]:
    """Return one sample of the irradiance from each emitter: direct, and indirect at each wavelength.

    Of a scene with see-through surfaces, then that which came straight through them, at each wavelength.
    """
    import drjit as dr

    mi = mitsuba()
    local = mi.warp.square_to_cosine_hemisphere(mi.Point2f(*sampler.sample_2d(mi.UInt32(3))))
    direction = mi.Frame3f(plate.normal).to_world(local)
    origin = plate.ray_origin(direction)
    point, segment = integrator.scene.all_surfaces.intersect(origin, direction, mi.Bool(True))
    samples = [emitter.sample(plate.position, *sampler.sample_2d(mi.UInt32(2))) for emitter in integrator.emitters]
    direct = [
        _direct(integrator, emitter, sample, plate, segment)
        for emitter, sample in zip(integrator.emitters, samples, strict=True)
    ]
    # the direction's density is cos / pi, so that its radiance counts pi times
    throughput = [mi.Float(dr.pi)] * wavelengths.count
    start = LastScattering(origin, mi.Float(NEGLIGIBLE_PDF), segment.t_max, mi.UInt32(1))
    none = integrator.no_radiance(wavelengths.count)
    indirect = integrator.trace(
        PathState(sampler, wavelengths, point, throughput, mi.UInt32(1), segment.hits, none, start)
    )
    if integrator.transmittance is None:
        return direct, indirect
    sky = EmitterSample(plate.position + direction * FAR_M, mi.Float(1.0), dr.dot(plate.normal, direction) / dr.pi)
    straight = [_straight_through(integrator, sample or sky, plate, wavelengths) for sample in samples]
    return direct, indirect, straight


class _Plates:
    """Each lane's meter."""

    def __init__(self, meters: Sequence[Meter], meter: Any) -> None:
        self.centre = _by_lane([m.at for m in meters], meter)
        self.half_width = _by_lane([m.axes[:, 0] * m.half[0] for m in meters], meter)
        self.half_height = _by_lane([m.axes[:, 1] * m.half[1] for m in meters], meter)
        self.normal = _by_lane([m.axes[:, 2] for m in meters], meter)

    def sample(self, u: Any, v: Any) -> SurfacePoint:
        """Return a point uniform over the plate."""
        mi = mitsuba()
        position = self.centre + (2.0 * u - 1.0) * self.half_width + (2.0 * v - 1.0) * self.half_height
        return SurfacePoint(position, self.normal, self.normal, self.normal, mi.UInt32(0), mi.Vector2f(0.0))


def _direct(
    integrator: PathIntegrator, emitter: Emitter, sample: EmitterSample | None, plate: SurfacePoint, segment: RaySegment
) -> Any:
    """Return one sample of the direct irradiance from an emitter; `segment` is that of a cosine-weighted ray."""
    import drjit as dr

    if sample is None:
        return dr.pi * emitter.evaluate(segment)[0]
    value = _unoccluded(sample, plate)
    is_lit = value > 0.0
    is_lit &= ~integrator.scene.all_surfaces.is_occluded(plate, sample.point, is_lit)
    return dr.select(is_lit, value, 0.0)


def _straight_through(
    integrator: PathIntegrator, sample: EmitterSample, plate: SurfacePoint, wavelengths: SampledWavelengths
) -> list[Any]:
    """Return one sample of the irradiance from an emitter through see-through surfaces alone, at each wavelength."""
    import drjit as dr

    scene, transmittance = integrator.scene, integrator.transmittance
    if transmittance is None:
        return [mitsuba().Float(0.0)] * wavelengths.count
    value = _unoccluded(sample, plate)
    is_lit = value > 0.0
    is_lit &= scene.all_surfaces.is_occluded(plate, sample.point, is_lit)
    factors = transmittance.between(plate, sample.point, wavelengths, is_lit)
    return [dr.select(is_lit, value * factor, 0.0) for factor in factors]


def _unoccluded(sample: EmitterSample, plate: SurfacePoint) -> Any:
    """Return one sample of the irradiance from an emitter with no surfaces between."""
    import drjit as dr

    return dr.dot(plate.normal, dr.normalize(sample.point - plate.position)) * sample.radiance / sample.pdf


def _by_lane(vectors: list[NDArray[np.float64]], index: Any) -> Any:
    import drjit as dr

    mi = mitsuba()
    return dr.gather(mi.Vector3f, float_table(vectors), index)


def _band_widths() -> NDArray[np.float64]:
    """Return the integral of each band over nm."""
    return np.array([np.trapezoid(values, nodes) for nodes, values in map(band_nodes, range(BAND_COUNT))])
