"""Eight lamps of setups that share a geometry: one trace of ours against a stock render of each lamp.

`python -m tests.bench.kernel_ratio`. The stock way is what the product did before it had a kernel of its own: `path` to
a film of the 12 bands, the low-discrepancy sampler, one lamp lit at a time. Both trace the same samples a pixel.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from statistics import median
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from materials.surface.finish import Finish
from render.description.scene import Geometry
from render.images.bands import BAND_COUNT
from render.kernel.backend import mitsuba
from render.kernel.trace import Tracer
from render.shot import Shot
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.kernel.oracle import lamp_dict, mesh_shape, sensor_dict
from tests.support.kernel.oracle_finishes import plain_bsdf, stock_bsdf

from .errors import Picture, Truth
from .report import machine, table
from .truths import GROUP, by_geometry, lamps_of

LAMPS, SAMPLES = 8, 16
RUNS = 3
REFERENCE_PASSES = 8
BRIGHT_PERCENTILE = 98.0  # of a lamp's image, taken for 1 as white is in a frame


class StockTracer:
    """One render of `path` to the 12 bands for each lamp; the scenes are put up beforehand."""

    def __init__(self, geometry: Geometry, lamps: Sequence[EmitterShape], bsdf: Callable[[Finish], Any]) -> None:
        mi = mitsuba()
        bsdfs = {s.finish: bsdf(s.finish) for s in geometry.surfaces}
        shapes = {f"surface_{i}": mesh_shape(s, bsdfs[s.finish]) for i, s in enumerate(geometry.surfaces)}
        self._scenes = [mi.load_dict({"type": "scene", **shapes, "lamp": lamp_dict(lamp)}) for lamp in lamps]
        sampler = {"type": "ldsampler", "sample_count": SAMPLES}
        self._sensor = mi.load_dict({**sensor_dict(geometry.camera), "sampler": sampler})
        self._integrator = mi.load_dict({"type": "path", "max_depth": 16, "rr_depth": 2})

    def images(self, number: int) -> NDArray[np.float32]:
        """Return (lamps, bands, height, width) as the kernel does."""
        return np.stack([self._image(scene, number) for scene in self._scenes])

    def _image(self, scene: object, number: int) -> NDArray[np.float32]:
        image = mitsuba().render(scene, sensor=self._sensor, integrator=self._integrator, spp=SAMPLES, seed=number)
        return np.moveaxis(np.array(image, dtype=np.float32), -1, 0)


def _all_busy(geometry: Geometry) -> Geometry:
    """Return a geometry without a backdrop, which would take fewer samples: the ratio is at equal ones."""
    surfaces = [replace(s, kind="card") if s.kind == "backdrop" else s for s in geometry.surfaces]
    return Geometry(tuple(surfaces), geometry.camera)


def kernel_ratio(shots: Sequence[Shot]) -> float:
    """Print both ways' seconds and errors; return stock seconds over ours at the same samples."""
    geometry, own = max(by_geometry(shots), key=lambda group: len(group[1]))
    lamps = list(lamps_of([shots[i] for i in own]).values())[:LAMPS]
    tracer, stock = Tracer(_all_busy(geometry)), StockTracer(geometry, lamps, plain_bsdf)
    our_seconds, ours = _timed(lambda number: tracer.images(lamps, number))
    stock_seconds, _ = _timed(stock.images)
    theirs = StockTracer(geometry, lamps, stock_bsdf).images(RUNS)  # of the very same finishes, for its error
    ratio = stock_seconds / our_seconds
    gain = _print_errors(lamps, _truths(tracer, lamps), theirs, ours)
    size = f"{geometry.camera.width}x{geometry.camera.height}"
    table(
        f"{len(lamps)} lamps, {size}, {SAMPLES} samples, median of {RUNS} runs", ["", "seconds"],
        [["stock, a render a lamp", f"{stock_seconds:.2f}"], ["ours, one trace", f"{our_seconds:.2f}"]],
    )  # fmt: skip
    print(
        f"stock takes {ratio:.2f} times as long at equal samples, {ratio * gain:.1f} at the median lamp's equal error"
    )
    return ratio


def _timed(images: Callable[[int], NDArray[np.float32]]) -> tuple[float, NDArray[np.float32]]:
    """Return the median seconds of a few calls after one that warms up, and what the last one gave."""
    result, seconds = images(0), []
    for number in range(1, 1 + RUNS):
        started = time.perf_counter()
        result = images(number)
        seconds.append(time.perf_counter() - started)
    return median(seconds), result


def _print_errors(
    lamps: Sequence[EmitterShape], truths: Sequence[Truth], theirs: NDArray[np.float32], ours: NDArray[np.float32]
) -> float:
    """Print each lamp's errors; return the median of stock over ours."""
    rows, ratios = [], []
    for lamp, truth, *images in zip(lamps, truths, theirs, ours, strict=True):
        stock, own = (truth.error(_last(image)) for image in images)
        ratios.append(stock.value / own.value)
        place = ", ".join(f"{100 * metres:.0f}" for metres in lamp.at)
        rows.append([f"{lamp.kind} at ({place}) cm", str(stock), str(own), f"{ratios[-1]:.2f}"])
    table(f"relative squared error of 12 bands, {SAMPLES} samples", ["", "stock", "ours", "ratio"], rows)
    return median(ratios)


def _truths(tracer: Tracer, lamps: Sequence[EmitterShape]) -> list[Truth]:
    """Return what each lamp's image is held against."""
    camera = tracer.geometry.camera
    sums = np.zeros((2, len(lamps), BAND_COUNT, camera.height, camera.width), np.float32)
    for number in range(REFERENCE_PASSES):
        sums[number % 2] += tracer.images(lamps, number, group=GROUP)
    sums *= np.float32(2 / REFERENCE_PASSES)
    truths = []
    for i in range(len(lamps)):
        first, second = map(_last, sums[:, i])
        mean = (first + second) / np.float32(2)
        truths.append(Truth((first, second), mean, level=float(np.percentile(mean.mean(axis=-1), BRIGHT_PERCENTILE))))
    return truths


def _last(bands: NDArray[np.float32]) -> Picture:
    """Return (bands, height, width) with the bands last, as a picture has its colours."""
    return np.moveaxis(bands, 0, -1)


def main() -> None:
    """Measure on the demo's geometry with the most setups."""
    print(machine())
    kernel_ratio(shots_of(open_input(None, {}), (), (), None))


if __name__ == "__main__":
    main()
