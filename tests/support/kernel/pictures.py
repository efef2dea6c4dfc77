"""Independent batches of the kernel's pictures, to be compared with the oracle's."""

from __future__ import annotations

from collections.abc import Sequence
from unittest import mock

import numpy as np

from render.description.scene import Geometry
from render.images.bands import BAND_COUNT
from render.kernel.paths import footprint
from render.kernel.trace import Tracer
from render.kernel.workload import PASS_SAMPLES
from scenes.lamps.emitter_shape import EmitterShape

from .summaries import Batches

GROUPS = 8


def kernel_pictures(
    geometry: Geometry, lamps: Sequence[EmitterShape], samples: int = 512, *, widening: float = 0.0
) -> Batches:
    """Return (lamps, 16, bands, height, width), of `samples` in all, 512 or a multiple.

    A batch is the even or the odd passes of a group, since those of one parity go on with one sequence. Without a
    `widening` of roughness they are what pictures converge to (`tests/system/kernel/test_widened_roughness.py`).
    """
    tracer, batches = Tracer(geometry), 2 * GROUPS
    passes = samples // PASS_SAMPLES // batches
    pictures = np.zeros((batches, len(lamps), BAND_COUNT, geometry.camera.height, geometry.camera.width))
    for batch in range(batches):
        group, parity = divmod(batch, 2)
        for number in range(parity, 2 * passes, 2):
            with mock.patch.object(footprint, "WIDENING", widening):
                pictures[batch] += tracer.images(lamps, number, group)
    return pictures.swapaxes(0, 1) / passes
