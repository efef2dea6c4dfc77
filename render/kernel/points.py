"""Incident light at points and areas, by the same paths as the pictures: in bands, with its standard error."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.bands import BAND_COUNT, RANGE_NM, band_nodes
from render.description import Lamp, Meter

from .backend import mitsuba
from .trace import Tracer

BATCHES = 16


def irradiance(tracer: Tracer, lamp: Lamp, meters: Sequence[Meter], samples: int, seed: int = 0) -> NDArray[np.float64]:
    """Return the irradiance of each meter in independent batches: (batches, 2, meters, bands), W/m2 in each band.

    The second axis tells light straight from the lamp from light that came by way of something else. A meter's
    own plate is not in the scene. `samples` are for each meter, a multiple of the 16 batches.
    """
    import drjit as dr

    mi = mitsuba()
    scene = tracer.scene(lamp)
    per_batch = samples // BATCHES
    lanes = BATCHES * len(meters) * per_batch
    cell = dr.arange(mi.UInt32, lanes) // per_batch
    sampler = mi.load_dict({"type": "independent"})
    sampler.seed(seed, lanes)

    at, frame = _plates(meters, cell % len(meters), sampler)
    here = dr.zeros(mi.SurfaceInteraction3f, lanes)
    here.p, here.n, here.sh_frame, here.time = at, frame.n, frame, 0.0
    width = RANGE_NM[1] - RANGE_NM[0]
    spread = mi.Spectrum([(sampler.next_1d() + i) * 0.25 for i in range(4)])
    here.wavelengths = RANGE_NM[0] + width * spread

    straight = dr.zeros(mi.Float, BATCHES * len(meters))
    dr.scatter_add(straight, _direct(scene, here, sampler) / per_batch, cell)
    bounced = dr.zeros(mi.Float, BATCHES * len(meters) * BAND_COUNT)
    light = _bounced(scene, here, sampler)
    for band in range(BAND_COUNT):
        value = dr.sum(light * _band(band, here.wavelengths)) * (width / 4 / per_batch)
        dr.scatter_add(bounced, value, cell * BAND_COUNT + band)

    shape = (BATCHES, len(meters))
    # the lamp is flat, so what comes straight from it has the same value at every wavelength
    direct = np.array(straight, dtype=np.float64).reshape(*shape, 1) * _band_widths()
    return np.stack([direct, np.array(bounced, dtype=np.float64).reshape(*shape, BAND_COUNT)], axis=1)


def _band_widths() -> NDArray[np.float64]:
    """Return the integral of each band over nm."""
    return np.array([np.trapezoid(values, nodes) for nodes, values in map(band_nodes, range(BAND_COUNT))])


def _plates(meters: Sequence[Meter], meter: Any, sampler: Any) -> tuple[Any, Any]:
    """Return a point spread over each lane's meter, and the meter's frame."""
    import drjit as dr

    mi = mitsuba()

    def column(values: NDArray[np.float64]) -> Any:
        return mi.Vector3f(*(dr.gather(mi.Float, mi.Float(np.ascontiguousarray(v)), meter) for v in values.T))

    u, v = sampler.next_2d()
    along = column(np.array([m.axes[:, 0] * m.half[0] for m in meters]))
    across = column(np.array([m.axes[:, 1] * m.half[1] for m in meters]))
    at = mi.Point3f(column(np.array([m.at for m in meters])) + (2 * u - 1) * along + (2 * v - 1) * across)
    return at, mi.Frame3f(mi.Normal3f(column(np.array([m.axes[:, 2] for m in meters]))))


def _direct(scene: Any, here: Any, sampler: Any) -> Any:
    import drjit as dr

    sample, weight = scene.sample_emitter_direction(here, sampler.next_2d(), True)
    return weight[0] * dr.maximum(dr.dot(here.n, sample.d), 0.0)


def _bounced(scene: Any, here: Any, sampler: Any) -> Any:
    import drjit as dr

    mi = mitsuba()
    # roulette alone ends a path: a depth limit takes 3.5 % of what a closed room of reflectance .8 gives back
    integrator = mi.load_dict({"type": "path", "max_depth": -1, "hide_emitters": True})
    ray = here.spawn_ray(here.sh_frame.to_world(mi.warp.square_to_cosine_hemisphere(sampler.next_2d())))
    light, _, _ = integrator.sample(scene, sampler, mi.RayDifferential3f(ray))
    return dr.pi * light


def _band(band: int, wavelengths: Any) -> Any:
    """Return a band's value at each wavelength."""
    import drjit as dr

    mi = mitsuba()
    nodes, values = (v.tolist() for v in band_nodes(band))
    total = mi.Spectrum(0.0)
    for i in range(len(nodes) - 1):
        t = (wavelengths - nodes[i]) / (nodes[i + 1] - nodes[i])
        inside = (t >= 0) & (t < 1)
        if values[i] != 0 or values[i + 1] != 0:
            total += dr.select(inside, values[i] + t * (values[i + 1] - values[i]), 0.0)
    return total
