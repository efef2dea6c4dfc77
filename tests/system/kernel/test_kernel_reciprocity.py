"""Helmholtz: a lamp and a meter that change places pass on the same light, straight and by way of any finish."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from materials.arrays import Array
from render.description.scene import Geometry, Meter
from render.kernel.meters import irradiance
from render.kernel.trace import Tracer
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.kernel.significance import Estimate, mean_ratio, worst_difference
from tests.support.light import CAMERA, board, meter, panel
from tests.support.notes import note
from tests.support.still_life import FINISHES, box

pytestmark = pytest.mark.slow

SECTION = "reciprocity: flux of lamp to meter over that of meter to lamp, less 1, 1e-4"
KNOWN_TO = 0.01
SAMPLES, CALLS = 1 << 21, 2


@dataclass(frozen=True)
class Plate:
    """A small area that is a lamp or a meter."""

    at: tuple[float, float, float]
    facing: tuple[float, float, float]
    width: float
    height: float

    @property
    def lamp(self) -> EmitterShape:
        return panel(self.at, self.facing, self.width, self.height)

    @property
    def meter(self) -> Meter:
        return meter(self.at, self.facing, self.width, self.height)

    @property
    def area(self) -> float:
        return self.width * self.height


LEFT = Plate((-0.09, -0.02, 0.09), (0.10, 0.02, -0.12), 0.16, 0.14)
RIGHT = Plate((0.15, 0.03, 0.11), (-0.06, -0.03, -0.12), 0.12, 0.18)


def flux(tracer: Tracer, lamp: Plate, meter: Plate, seed: int) -> Array:
    """Return what a meter takes from a lamp of radiance 1, W in each band: (batches, direct or indirect, bands)."""
    calls = [irradiance(tracer, [lamp.lamp], [meter.meter], SAMPLES, CALLS * seed + i)[0] for i in range(CALLS)]
    return np.concatenate(calls)[:, :, 0] * meter.area


def geometry(finish: str) -> Geometry:
    """Return flat faces only: smooth normals are no part of a surface, and break the law."""
    floor = board(meter((0, 0, 0), (0, 0, 1), 0.4, 0.4), FINISHES[finish])
    return Geometry((floor, box(FINISHES[finish])), CAMERA)


@pytest.mark.parametrize("finish", FINISHES)
def test_a_lamp_and_a_meter_may_change_places(finish: str) -> None:
    tracer = Tracer(geometry(finish))
    there, back = flux(tracer, LEFT, RIGHT, 0), flux(tracer, RIGHT, LEFT, 1)
    for part, words in enumerate(("straight", "bounced")):
        one, other = there[:, part], back[:, part]
        ratio = mean_ratio(Estimate.of(one.sum(axis=-1)), Estimate.of(other.sum(axis=-1)))
        bands = worst_difference(*(Estimate.of(way) / other.mean(axis=0) for way in (one, other)))
        note(
            SECTION,
            f"{finish}, {words}: {1e4 * (ratio.value - 1):+.0f} ± {1e4 * ratio.half_width:.0f}, "
            f"worst band z {bands.z:.2f} of {bands.bound:.2f} ({100 * bands.half_width:.2f} %)",
        )
        assert ratio.half_width < KNOWN_TO
        assert ratio.contains(1.0)
        assert bands.agrees
