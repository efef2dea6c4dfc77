"""The two sides of a comparison: independent batches of pictures from the kernel and from the oracle."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np

from materials.arrays import Mask
from materials.surface.finish import Finish
from render.description.scene import Geometry
from render.images.bands import BAND_COUNT
from render.kernel.trace import PASS_SAMPLES, Tracer
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.agreement import Batches
from tests.support.oracle import Oracle

from .still_life import still_life

GROUPS = 8
ORACLE_BATCHES = 32


@cache
def subject_mask() -> Mask:
    """Return where the still life's subject is seen, whatever its finish."""
    return np.asarray(Tracer(still_life(Finish.board(1.0))).features.subject > 0.99)


def kernel_side(geometry: Geometry, lamps: Sequence[EmitterShape], samples: int = 512) -> Batches:
    """Return (lamps, 16, bands, height, width), of `samples` in all, 512 or a multiple.

    A batch is the even or the odd passes of a group, since those of one parity go on with one sequence.
    """
    tracer, batches = Tracer(geometry), 2 * GROUPS
    passes = samples // PASS_SAMPLES // batches
    pictures = np.zeros((batches, len(lamps), BAND_COUNT, geometry.camera.height, geometry.camera.width))
    for batch in range(batches):
        group, parity = divmod(batch, 2)
        for number in range(parity, 2 * passes, 2):
            pictures[batch] += tracer.images(lamps, number, group)
    return pictures.swapaxes(0, 1) / passes


def oracle_side(geometry: Geometry, lamps: Sequence[EmitterShape], samples: int = 512, *, case: int = 0) -> Batches:
    """Return (32, bands, height, width) of all lamps lit at once, of `samples` in all; cases share no seeds."""
    seeds = range(case * ORACLE_BATCHES, (case + 1) * ORACLE_BATCHES)
    return Oracle(geometry).images(lamps, samples // ORACLE_BATCHES, seeds)
