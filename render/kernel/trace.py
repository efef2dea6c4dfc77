"""One geometry and its lamps, traced in passes: an image in bands for each lamp as if it alone were lit."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Geometry, Lamp
from render.images.bands import BAND_COUNT
from render.kernel.emitters.planar import lights
from render.kernel.surfaces.bsdf import Finishes

from .backend import mitsuba
from .features import Features, see
from .film import Film
from .integrator import Gathered, Scattered, Table, Walk
from .loops import loop
from .sampler import Points, stream
from .scene import Scene
from .wavelengths import Bands, Wavelengths

PASS_SAMPLES = 16
QUIET_SAMPLES = 8
"""Of a pass where there is only backdrop: nine tenths of what is wrong in a frame is on the subject. With 4, the
denoiser leaves a halo about the subject where the wall is lit by what little the subject sends it, as in `rim`.
"""


class Share(NamedTuple):
    """How many lamps share a path, how many wavelengths it carries, and how many passes are traced in one go."""

    lamps: int
    wavelengths: int
    passes: int


SHARES = {"llvm": Share(8, 12, 1), "cuda": Share(1, 4, 16), "metal": Share(1, 4, 16)}
"""Measured on two cores and on an H100: what several lamps share spills out of a GPU's registers at every ray, and two
lamps take longer there than one after the other; what it traces pass by pass takes longer to bring back than to trace.
"""


class Tracer:
    """Traces one geometry for any lamps; its mesh is handed to Mitsuba once.

    A `scene` of the same shape may be given: finishes, and from where it is seen, are no part of it.
    """

    def __init__(self, geometry: Geometry, scene: Scene | None = None) -> None:
        self.geometry = geometry
        self.share = SHARES[mitsuba().variant().partition("_")[0]]
        self.scene = scene or Scene(geometry)
        self.finishes = Finishes(geometry.surfaces, self.share.wavelengths)
        self.film = Film(geometry.camera)

    @cached_property
    def features(self) -> Features:
        """What the camera sees before any light."""
        return see(self.geometry.surfaces, self.scene, self.finishes.painting, self.film)

    @cached_property
    def _pass_samples(self) -> Any:
        """How many samples of a pass each lane takes."""
        busy = self.film.by_tile(self.features.backdrop < 1.0)
        return mitsuba().UInt32(np.where(busy, PASS_SAMPLES, QUIET_SAMPLES).astype(np.uint32))

    def images(self, lamps: Sequence[Lamp], number: int, group: int = 0, count: int = 1) -> NDArray[np.float32]:
        """Return pass `number` of each lamp's image: (lamps, bands, height, width), W/(m2 sr) in each band.

        With a `count`, the sum of so many passes of the same half: `number`, the next but one, and so on. Samples
        depend on the group and the pass alone: any pass can be traced again, or later, in any order, beside any
        other lamps. Even and odd passes go on with two sequences that know nothing of each other.
        """
        camera = self.geometry.camera
        images = np.empty((len(lamps), BAND_COUNT, camera.height, camera.width), np.float32)
        for first in range(0, len(lamps), self.share.lamps):
            sums = self._sums(lamps[first : first + self.share.lamps], number, group, count)
            planes = images[first : first + self.share.lamps].reshape(-1, camera.height, camera.width)
            values = [band / mitsuba().Float(self._pass_samples) for bands in sums for band in bands]
            for plane, picture in zip(planes, self.film.pictures(values[: len(planes)]), strict=True):
                plane[:] = picture
        return images

    def _sums(self, lamps: Sequence[Lamp], number: int, group: int, passes: int) -> list[Bands]:
        """Return what each of some lamps gives in some passes, in lanes of the film; dark ones may follow."""
        import drjit as dr

        mi = mitsuba()
        table = Table(self.scene, self.finishes, lights(lamps))
        column, row, inside = self.film.pixels()
        pixel = row * dr.opaque(mi.UInt32, self.geometry.camera.width) + column
        seed = stream(pixel, dr.opaque(mi.UInt32, 2 * group + number % 2))
        start = dr.opaque(mi.UInt32, number // 2) * self._pass_samples
        ray = self.film.rays()

        def sample(i: Any, sums: list[Bands]) -> tuple[Any, list[Bands]]:
            points = Points(seed, start + i)
            u, v = points.pair(mi.UInt32(0))
            wavelengths = Wavelengths.drawn(self.share.wavelengths, points.pair(mi.UInt32(1))[0])
            origin, direction = ray(mi.Float(column) + u, mi.Float(row) + v)
            vertex, sight = self.scene.all.meet(origin, direction, inside, coherent=True)
            carried, gathered = [mi.Float(1.0)] * wavelengths.count, table.nothing(wavelengths)
            scattered = Scattered(mi.Vector3f(origin), mi.Float(dr.inf), sight.distance)
            walk = Walk(points, wavelengths, vertex, carried, mi.UInt32(0), inside, gathered, scattered)
            walk.gathered = table.seen(sight, scattered.density, walk)
            walk.active = sight.ends
            return i + 1, added(sums, wavelengths, table.walk(walk))

        zeros = [[dr.zeros(mi.Float, self.film.lanes) for _ in range(BAND_COUNT)] for _ in table.lights]
        count = dr.opaque(mi.UInt32, passes) * self._pass_samples
        _, sums = loop((mi.UInt32(0), zeros), lambda i, _: i < count, sample, label="samples")
        return list(sums)


def added(sums: list[Bands], wavelengths: Wavelengths, gathered: Gathered) -> list[Bands]:
    """Return each lamp's sums with what one path gathered of it."""
    return [
        [total + band for total, band in zip(bands, wavelengths.projected(light), strict=True)]
        for bands, light in zip(sums, gathered, strict=True)
    ]
