"""What the checks of light share: lamps, boards and meters in metres, and readings with their standard error."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.arrays import Array
from materials.light.spectra import blackbody
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry, Meter, Surface
from render.images.passes.pass_sums import PassSums
from render.kernel.meters import irradiance
from render.kernel.trace import Tracer
from render.readings.metering import lux
from scenes.geometry import axes_facing
from scenes.lamps.emitter_shape import EmitterShape

from .report import Tolerance, report

BLACK = 0.0
"""The reflectance of black boards here; the renderer refuses a spectrum that is zero throughout."""
UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
SAMPLES_A_CALL = 1 << 18
ROOM_M = (4.0, 4.0, 3.0)
CAMERA = Camera(np.array([0.0, -1.0, 1.0]), np.eye(3), 0.5, 2, 2)
"""Meters need none, a geometry has one."""


@dataclass(frozen=True, eq=False)
class Reading:
    """Direct and indirect illuminance, lx, each (batches, meters)."""

    direct: Array
    indirect: Array

    @property
    def total(self) -> Array:
        """Total illuminance, lx, (batches, meters)."""
        return self.direct + self.indirect


def lamp_image(*passes: NDArray[np.float32]) -> PassSums:
    """Return the lamp image of pass 0, 1 and so on, each (bands, height, width)."""
    image = PassSums(np.zeros_like(passes[0]), np.zeros_like(passes[0]))
    for number, traced in enumerate(passes):
        image = image.with_passes(number, traced)
    return image


def panel(at: ArrayLike, facing: ArrayLike, width: float, height: float) -> EmitterShape:
    """Return a Lambertian panel of `width` x `height` m."""
    return EmitterShape("panel", np.asarray(at, float), axes_facing(facing), (width / 2, height / 2))


def disc(at: ArrayLike, facing: ArrayLike, radius: float) -> EmitterShape:
    """Return a Lambertian disc."""
    return EmitterShape("disc", np.asarray(at, float), axes_facing(facing), (radius, radius))


def bulb(at: ArrayLike, radius: float) -> EmitterShape:
    """Return a Lambertian sphere."""
    return EmitterShape("bulb", np.asarray(at, float), np.eye(3), (radius, radius))


def meter(at: ArrayLike, facing: ArrayLike, width: float = 0.0, height: float = 0.0) -> Meter:
    """Return a meter at a point, or averaged over `width` x `height` m."""
    return Meter(np.asarray(at, float), axes_facing(facing), (width / 2, height / 2))


def board(plate: Meter, finish: Finish) -> Surface:
    """Return a board where a meter is."""
    signs = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    vertices = plate.at + (signs * plate.half) @ plate.axes[:, :2].T
    faces = np.array([[0, 1, 2], [0, 2, 3]], np.int32)
    return Surface("board", "card", vertices.astype(np.float32), None, faces, finish)


def faces_of_room() -> tuple[Meter, ...]:
    """Return meters over the whole of the floor, the ceiling and the four walls, facing inward."""
    x, y, z = ROOM_M
    return (
        meter((x / 2, y / 2, 0), UP, x, y),
        meter((x / 2, y / 2, z), DOWN, x, y),
        meter((0, y / 2, z / 2), (1, 0, 0), y, z),
        meter((x, y / 2, z / 2), (-1, 0, 0), y, z),
        meter((x / 2, 0, z / 2), (0, 1, 0), x, z),
        meter((x / 2, y, z / 2), (0, -1, 0), x, z),
    )


def areas(meters: Sequence[Meter]) -> Array:
    """Return the area of each meter, m2."""
    return np.array([4 * m.half[0] * m.half[1] for m in meters])


def room_of(reflectance: float) -> Tracer:
    """Return a closed room whose six faces are boards of one reflectance."""
    return tracer(*(board(face, Finish.board(reflectance)) for face in faces_of_room()))


def tracer(*surfaces: Surface) -> Tracer:
    """Return the tracer of some surfaces, or of empty space."""
    return Tracer(Geometry(surfaces, CAMERA))


def seeds_of(meters: Sequence[Meter], seed: int) -> range:
    """Return a seed for each meter, other ones for each `seed`: the mean of many meters needs independent errors."""
    return range(seed * len(meters), (seed + 1) * len(meters))


def read(
    traced: Tracer, lamp: EmitterShape, lumens: float, meters: Sequence[Meter], *, samples: int, seed: int
) -> Reading:
    """Return what meters read of a lamp, with independent errors; for a room's light `lumens` are its lux."""
    radiance = blackbody(4000) * lumens / lamp.etendue
    rounds = max(1, samples // SAMPLES_A_CALL)
    seeds = [seeds_of(meters, rounds * seed + i) for i in range(rounds)]
    batches = [irradiance(traced, [lamp], meters, samples // rounds, of_round)[0] for of_round in seeds]
    measured = lux(np.concatenate(batches), radiance)
    return Reading(measured[:, 0], measured[:, 1])


def check(case: str, source: str, expected: float, batches: Array, tolerance: Tolerance) -> None:
    """Report the mean of independent batches, which has to be known to a quarter of the tolerance."""
    bound = tolerance.bound * (abs(expected) if tolerance.is_relative else 1.0)
    standard_error = float(batches.std(ddof=1)) / np.sqrt(batches.size)
    report(case, source, expected, float(batches.mean()), tolerance)
    assert 4 * standard_error < bound, f"{case}: standard error {standard_error:.2g}, tolerance {bound:.2g}"
