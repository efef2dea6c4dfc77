"""The unit of work of a sheet: a geometry with those of its lamps that are traced together."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from render.description.scene import Geometry
from render.images.jobs import GROUP
from render.images.noise import is_measured
from render.images.passes.rungs import rungs_to
from render.images.tracing import Tracing
from render.kernel.backend import choose_backend
from render.kernel.workload import workload_of
from scenes.fingerprint import fingerprint
from scenes.lamps.emitter_shape import EmitterShape

PATH_COST: Final = 0.3
LAMP_COST: Final = 0.18
"""Of a pass, a megapixel of it: of the paths that lamps share, and of each lamp. The ratio is what matters."""
NOISE_COST: Final = 0.3
"""Of measuring the noise of an image, a megapixel of it."""
SETTING_UP_COST: Final = 0.18
"""Of handing a geometry to the kernel."""
FEW_LAMPS: Final = 3
"""Work of more lamps is divided, where they do not share paths: several cards then have about as much to do."""


@dataclass(frozen=True, eq=False)
class Work:
    """A geometry with those of its lamps whose images are brought to so many passes together.

    Parameters
    ----------
    cost
        In proportion to the time that it takes.
    """

    geometry: Geometry
    lamps: tuple[EmitterShape, ...]
    passes: int
    cost: float

    @cached_property
    def key(self) -> str:
        """A hash of what it is."""
        return fingerprint((self.geometry.fingerprint, tuple(lamp.fingerprint for lamp in self.lamps), self.passes))


def pass_costs(geometry: Geometry) -> tuple[float, float]:
    """Return the cost of a pass of a geometry: of the paths that its lamps share, and of each lamp.

    Where a launch traces one lamp, each has paths of its own.
    """
    megapixels = geometry.camera.megapixels
    if workload_of(choose_backend().variant).lamps == 1:
        return 0.0, (PATH_COST + LAMP_COST) * megapixels
    return PATH_COST * megapixels, LAMP_COST * megapixels


def most_together() -> int:
    """Return how many lamps of a geometry are one piece of work: those that share paths, and a few where none do."""
    return max(FEW_LAMPS, workload_of(choose_backend().variant).lamps)


def planned_work(geometry: Geometry, passes_now: Mapping[EmitterShape, int], passes: int) -> Work:
    """Return the work that brings images, each of so many passes now, to the same passes."""
    path_cost, lamp_cost = pass_costs(geometry)
    added = [passes - now for now in passes_now.values()]
    noise_cost = len(added) * _noise_cost(geometry, passes)
    cost = SETTING_UP_COST + path_cost * max(added) + lamp_cost * sum(added) + noise_cost
    return Work(geometry, tuple(passes_now), passes, cost)


def carry_out(work: Work, tracing: Tracing, tick: Callable[[float], None] = lambda _: None) -> None:
    """Trace what is not stored of a piece of work, and measure its noise at every doubling on the way.

    `tick` is called with parts of its cost.

    Raises
    ------
    NoDenoiserError
        If noise has to be measured, and the denoiser does not load.
    """
    stored = [tracing.stored_passes(work.geometry, lamp) for lamp in work.lamps]
    missing = sum(max(0, work.passes - (found.passes if found else 0)) for found in stored)
    noise_cost = _noise_cost(work.geometry, work.passes)
    trace_cost = work.cost - noise_cost * len(work.lamps)
    each = trace_cost / missing if missing else 0.0
    least = min(tracing.sealed_passes(work.geometry, lamp) for lamp in work.lamps)
    for lamp in work.lamps:
        tracing.measure_noise(work.geometry, lamp)  # that a stopped run has left
    for passes in dict.fromkeys((*filter(is_measured, rungs_to(least, work.passes)), work.passes)):
        tracing.trace(work.geometry, dict.fromkeys(work.lamps, GROUP), passes, lambda count: tick(count * each))
        tracing.features(work.geometry)  # now, while the kernel has the geometry
        for lamp in work.lamps:
            tracing.measure_noise(work.geometry, lamp)
            tick(noise_cost if passes == work.passes else 0.0)
    if not missing:
        tick(trace_cost)


def _noise_cost(geometry: Geometry, passes: int) -> float:
    """Return the cost of measuring the noise of an image of so many passes; 0 where it is not."""
    return NOISE_COST * geometry.camera.megapixels if is_measured(passes) else 0.0
