"""Grain as it is estimated, as it is, and by what it costs, with passes allotted to images and with as many for each.

`python -m tests.bench.shown.grain REFERENCES STORE [--size WxH] [--cost N]`: REFERENCES is a folder that
`tests.bench.shown.lamp_references` wrote of the demo in that size, STORE an empty one. It goes on until N times the
cost of eight passes of all images. Costs are those of the model of `render.allocation.work`, seconds of this process
beside them: compare them on an idle machine alone.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np

from gallery.commands.options import pixels
from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from materials.arrays import Array, Image
from materials.colour.lab import lightness
from render.allocation.rounds import Rounds
from render.allocation.work import Work, carry_out, most_together, planned_work
from render.camera.development import develop
from render.clean_picture import clean_xyz
from render.images.passes.rungs import rungs_to
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.readings.highlights import relative_luminance
from render.shot import Shot
from render.shot_light import shot_light
from tests.bench.errors import Truth
from tests.bench.report import machine, table
from tests.bench.truths import by_geometry

from .shown_error import developed, shown, sum_of_lamps

MOST_PASSES = 4096
WHITE = 100.0
REPORTED = 1.3
"""A state is held against the references when it has cost so much more than the last that was."""


class TrueErrors(NamedTuple):
    """Errors of frames against references, root mean square over each."""

    grain: Array
    """Of the lightness as shown, white being 1."""
    traced: Array
    """Of the luminance as traced, cd/m2, relative to that of the reference and 1 % of white."""


class State(NamedTuple):
    """A sheet after some work: its cost, seconds, and the errors of each frame."""

    cost: float
    seconds: float
    estimated: Array
    true: TrueErrors

    @property
    def mean(self) -> float:
        """Root mean square of the true grains."""
        return float(np.sqrt(np.mean(self.true.grain**2)))

    @property
    def traced(self) -> float:
        """Geometric mean of the errors of the light as traced."""
        return float(np.exp(np.mean(np.log(self.true.traced))))


def true_errors(shots: Sequence[Shot], tracing: Tracing, references: Path) -> TrueErrors:
    """Return the errors of each frame."""
    grains, traced = [], []
    for shot in shots:
        light = shot_light(shot, tracing, 1)
        exposure = light.metered_exposure.exposure
        reference = sum_of_lamps(shot, [lamp.dimmer for lamp in light.setup.lamps], references)
        first, second = developed(reference, reference.xyz, exposure)
        frame = develop(clean_xyz(light), exposure, reference.white_xyz)
        grains.append(_root_mean_square(_lightness(frame), (_lightness(first), _lightness(second))))
        halves = reference.xyz[..., 1:]
        truth = Truth((halves[0], halves[1]), halves.mean(axis=0), exposure.white_cd_m2)
        traced.append(np.sqrt(max(0.0, truth.error(light.xyz[..., 1:]).value)))
    return TrueErrors(np.array(grains), np.array(traced))


def _root_mean_square(picture: Array, halves: tuple[Array, Array]) -> float:
    return float(np.sqrt(max(0.0, float(np.mean((picture - halves[0]) * (picture - halves[1]))))))


def _lightness(linear: Image) -> Array:
    return lightness(relative_luminance(shown(linear)).astype(np.float64)) / WHITE


def allotted_work(rounds: Rounds) -> Iterator[list[Work]]:
    """Yield the work of each round."""
    while True:
        yield rounds.next_work()
        rounds.complete()


def uniform_work(shots: Sequence[Shot]) -> Iterator[list[Work]]:
    """Yield the work of bringing all images to each rung."""
    before, most = 0, most_together()
    for rung in rungs_to(0, MOST_PASSES):
        work = []
        for geometry, own in by_geometry(shots):
            lamps = list(dict.fromkeys(lamp for i in own for lamp in shots[i].emitter_shapes))
            for first in range(0, len(lamps), most):
                work.append(planned_work(geometry, dict.fromkeys(lamps[first : first + most], before), rung))
        yield work
        before = rung


def states(
    shots: Sequence[Shot], tracing: Tracing, references: Path, rounds: Iterator[list[Work]], most: float
) -> Iterator[State]:
    """Yield a sheet when all its noise is measured, and again as it grows, to `most` times the cost of the first."""
    cost = seconds = first = reported = 0.0
    for work in rounds:
        started = time.perf_counter()
        for piece in work:
            carry_out(piece, tracing)
        cost, seconds = cost + sum(piece.cost for piece in work), seconds + time.perf_counter() - started
        grains = Rounds(shots, tracing).grains()
        if None in grains or cost < REPORTED * reported:
            continue
        first, reported = first or cost, cost
        estimated = np.array([grain or 0.0 for grain in grains])
        yield State(cost, seconds, estimated, true_errors(shots, tracing, references))
        if cost >= most * first:
            return


def law(found: Sequence[State], error: Callable[[State], float]) -> float:
    """Return the power of the cost that an error falls with: -.5 of the mean of independent samples."""
    costs, errors = np.log([[state.cost, error(state)] for state in found]).T
    return float(np.polyfit(costs, errors, 1)[0])


def print_states(title: str, names: Sequence[str], found: Sequence[State]) -> None:
    """Print the states of a sheet, and what the estimates of its first and last are off by."""
    rows = [
        [
            f"{s.cost:.2f}",
            f"{s.seconds:.0f}",
            f"{s.mean:.3%}",
            f"{s.true.grain.max():.3%}",
            f"{np.median(s.estimated / s.true.grain):.2f}",
            f"{s.traced:.3f}",
        ]
        for s in found
    ]
    table(title, ["cost", "seconds", "grain, rms of frames", "coarsest", "estimated / true", "light as traced"], rows)
    mean, traced = (law(found, error) for error in (lambda s: s.mean, lambda s: s.traced))
    print(f"grain falls as cost^{mean:.2f}, the error of light as traced as cost^{traced:.2f}")
    for state in (found[0], found[-1]):
        ratios = [f"{name} {ratio:.2f}" for name, ratio in zip(names, state.estimated / state.true.grain, strict=True)]
        print(f"estimated / true at cost {state.cost:.2f}: {', '.join(ratios)}")


def at_cost(found: Sequence[State], cost: float, value: Callable[[State], float]) -> float:
    """Return a value of states at a cost between theirs, by a straight line of logarithms."""
    costs, values = [state.cost for state in found], [value(state) for state in found]
    return float(np.exp(np.interp(np.log(cost), np.log(costs), np.log(values))))


def main() -> None:
    """Print the grain of the demo's sheet, uniform and allotted, and their ratio at equal cost."""
    parser = argparse.ArgumentParser(description="grain, estimated and true, by what it costs")
    parser.add_argument("references", type=Path)
    parser.add_argument("store", type=Path)
    parser.add_argument("--size", default="240x320")
    parser.add_argument("--cost", type=float, default=8.0)
    asked = parser.parse_args()
    shots = shots_of(open_input(None, {}), (), (), pixels(asked.size))
    names = [shot.setup.name for shot in shots]
    print(machine())
    found = {}
    for way in ("uniform", "allotted"):
        tracing = Tracing(Store(asked.store / way))
        rounds = uniform_work(shots) if way == "uniform" else allotted_work(Rounds(shots, tracing))
        found[way] = list(states(shots, tracing, asked.references, rounds, asked.cost))
        print_states(way, names, found[way])
    cost = min(found[way][-1].cost for way in found)
    for what, value in (("mean square", lambda s: s.mean**2), ("coarsest, squared", lambda s: s.true.grain.max() ** 2)):
        ratio = at_cost(found["uniform"], cost, value) / at_cost(found["allotted"], cost, value)
        print(f"uniform over allotted at cost {cost:.2f}, {what}: {ratio:.2f}")


if __name__ == "__main__":
    main()
