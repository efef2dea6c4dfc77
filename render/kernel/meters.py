"""Incident light at points and areas, by the same paths as the pictures: in bands, in independent batches."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Lamp, Meter
from render.images.bands import BAND_COUNT, band_nodes
from render.kernel.emitters.planar import Aim, Light, lights

from .backend import mitsuba
from .integrator import Scattered, Table, Walk
from .loops import loop
from .sampler import Points, stream
from .scene import Ray, Vertex
from .trace import Tracer, added
from .wavelengths import Bands, Wavelengths

BATCHES = 16
LANE_SAMPLES = 16
NEVER = 1e-20
"""The density of a direction that lamps seen along it, past glass, are not counted by: `_past_glass` counts them."""


def irradiance(
    tracer: Tracer, lamps: Sequence[Lamp], meters: Sequence[Meter], samples: int, seed: int = 0
) -> NDArray[np.float64]:
    """Return the irradiance of each meter from each lamp: (lamps, batches, 2, meters, bands), W/m2 in each band.

    The batches are independent. The third axis tells light straight from the lamp from light that came by way of
    something else. A meter's own plate is not in the scene. `samples` are for each meter, in multiples of the 16
    batches.
    """
    most = tracer.share.lamps
    shares = [lamps[first : first + most] for first in range(0, len(lamps), most)]
    return np.concatenate([_irradiance(tracer, share, meters, samples, seed) for share in shares])


def _irradiance(
    tracer: Tracer, lamps: Sequence[Lamp], meters: Sequence[Meter], samples: int, seed: int
) -> NDArray[np.float64]:
    import drjit as dr

    mi = mitsuba()
    table = Table(tracer.scene, tracer.finishes, lights(lamps))
    lane_samples = min(LANE_SAMPLES, samples // BATCHES)
    lanes_a_cell = samples // BATCHES // lane_samples
    lane = dr.arange(mi.UInt32, BATCHES * len(meters) * lanes_a_cell)
    cell = lane // dr.opaque(mi.UInt32, lanes_a_cell)
    first = lane % dr.opaque(mi.UInt32, lanes_a_cell) * lane_samples
    sequence = stream(cell, dr.opaque(mi.UInt32, seed))
    plates = _Plates(meters, cell % dr.opaque(mi.UInt32, len(meters)))

    def sample(i: Any, straight: list[Any], sums: list[Bands]) -> tuple[Any, list[Any], list[Bands]]:
        points = Points(sequence, first + i)
        plate = plates.spread(*points.pair(mi.UInt32(0)))
        wavelengths = Wavelengths.drawn(tracer.share.wavelengths, points.pair(mi.UInt32(1))[0])
        direction = mi.Frame3f(plate.normal).to_world(
            mi.warp.square_to_cosine_hemisphere(mi.Point2f(*points.pair(mi.UInt32(3))))
        )
        vertex, ray = tracer.scene.all.meet(plate.leaving(direction), direction, mi.Bool(True))
        straight = [
            total + _straight(table, light, plate, points, ray)
            for light, total in zip(table.lights, straight, strict=True)
        ]
        # a cosine-weighted ray brings pi times what it sees; the lamps that it sees are counted in `straight`
        carried = [mi.Float(dr.pi)] * wavelengths.count
        gathered = [_past_glass(table, light, plate, points, wavelengths) for light in table.lights]
        scattered = Scattered(plate.leaving(direction), mi.Float(NEVER), ray.distance)
        walk = Walk(points, wavelengths, vertex, carried, mi.UInt32(1), ray.ends, gathered, scattered)
        return i + 1, straight, added(sums, wavelengths, table.walk(walk))

    zeros = [dr.zeros(mi.Float, dr.width(lane)) for _ in table.lights]
    sums = [[dr.zeros(mi.Float, dr.width(lane)) for _ in range(BAND_COUNT)] for _ in table.lights]
    count = dr.opaque(mi.UInt32, lane_samples)
    state = (mi.UInt32(0), zeros, sums)
    _, straight, bounced = loop(state, lambda i, *_: i < count, sample, label="meters")
    dr.eval(straight, bounced)

    def means(values: Any) -> NDArray[np.float64]:
        cells = np.array(values, dtype=np.float64).reshape(BATCHES, len(meters), lanes_a_cell)
        return np.asarray(cells.mean(axis=-1) / lane_samples)

    # the lamps are flat, so what comes straight from one has the same value at every wavelength
    direct = [means(lamp)[..., None] * _band_widths() for lamp in straight]
    indirect = [np.stack([means(band) for band in lamp], axis=-1) for lamp in bounced]
    return np.stack([direct, indirect], axis=2)[: len(lamps)]


class _Plates:
    """Each lane's meter."""

    def __init__(self, meters: Sequence[Meter], meter: Any) -> None:
        self.at = _gathered([m.at for m in meters], meter)
        self.along = _gathered([m.axes[:, 0] * m.half[0] for m in meters], meter)
        self.across = _gathered([m.axes[:, 1] * m.half[1] for m in meters], meter)
        self.normal = _gathered([m.axes[:, 2] for m in meters], meter)

    def spread(self, u: Any, v: Any) -> Vertex:
        """Return a place on the meter."""
        at = self.at + (2.0 * u - 1.0) * self.along + (2.0 * v - 1.0) * self.across
        nowhere = mitsuba().Vector2f(0.0)
        return Vertex(at, self.normal, self.normal, self.normal, mitsuba().UInt32(0), nowhere)


def _straight(table: Table, light: Light, plate: Vertex, points: Points, ray: Ray) -> Any:
    """Return one sample of what comes straight from a lamp; `ray` is a cosine-weighted one from the plate."""
    import drjit as dr

    mi = mitsuba()
    aim = light.aim(plate.at, *points.pair(mi.UInt32(2)))
    if aim is None:
        return dr.pi * light.seen(ray)[0]
    share = _share(plate, aim)
    clear = share > 0.0
    clear &= ~table.scene.all.between(plate, aim.point, clear)
    return dr.select(clear, share, 0.0)


def _past_glass(table: Table, light: Light, plate: Vertex, points: Points, wavelengths: Wavelengths) -> list[Any]:
    """Return one sample of what comes from a lamp by way of nothing but glass, at each wavelength."""
    import drjit as dr

    mi = mitsuba()
    aim = light.aim(plate.at, *points.pair(mi.UInt32(2)))
    if table.panes is None or aim is None:
        return [mi.Float(0.0)] * wavelengths.count
    share = _share(plate, aim)
    lit = share > 0.0
    lit &= table.scene.all.between(plate, aim.point, lit) & ~table.scene.solid.between(plate, aim.point, lit)
    passing = table.panes.passed(plate, aim.point, wavelengths, lit)
    return [dr.select(lit, share * part, 0.0) for part in passing]


def _share(plate: Vertex, aim: Aim) -> Any:
    import drjit as dr

    return dr.dot(plate.normal, dr.normalize(aim.point - plate.at)) * aim.radiance / aim.density


def _gathered(vectors: list[NDArray[np.float64]], index: Any) -> Any:
    import drjit as dr

    mi = mitsuba()
    return dr.gather(mi.Vector3f, mi.Float(np.array(vectors, dtype=np.float32).ravel()), index)


def _band_widths() -> NDArray[np.float64]:
    """Return the integral of each band over nm."""
    return np.array([np.trapezoid(values, nodes) for nodes, values in map(band_nodes, range(BAND_COUNT))])
