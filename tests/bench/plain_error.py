"""How much the plain way errs on a setup, and how long it takes for it."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np

from .errors import Estimate, Truth, luminance_ratio, mean_of
from .linear_frames import LinearFrame
from .plain_mitsuba import PlainScene
from .report import table

FEW, MANY = 16, 64
SEEDS = 1001, 1002  # beyond those of the references


@dataclass(frozen=True)
class Plain:
    """Seconds for one sample a pixel, and the error at few and at many samples, as rendered and denoised as ours is.

    `bias` is the square of what its mean is off the truth by, relative as the errors are; `luminance` is the mean of
    the picture over that of our frame.
    """

    setup: str
    seconds: float
    few: Estimate
    many: Estimate
    few_denoised: Estimate
    many_denoised: Estimate
    bias: Estimate
    luminance: Estimate

    @property
    def variance(self) -> Estimate:
        """The error of a single sample about the plain way's own mean, so that no difference of means counts."""
        return Estimate(MANY * (self.many.value - self.bias.value), MANY * self.many.standard_error)

    @property
    def power(self) -> float:
        """The power of 1 over the samples that the error about its own mean goes with: 1 by the law."""
        return _power(self.few.value - self.bias.value, self.many.value - self.bias.value)

    def samples(self, error: float) -> float:
        """Return how many samples have an error, by the law."""
        return self.variance.value / error

    def samples_denoised(self, error: float) -> float:
        """Return how many samples would have an error after the denoiser, by the power law of the two renders."""
        power = _power(self.few_denoised.value, self.many_denoised.value)
        return float(MANY * (self.many_denoised.value / error) ** (1 / power))


def measure_plain(linear: LinearFrame, truth: Truth) -> Plain:
    """Render the setup of a frame twice; the first render warms up, the second is timed."""
    shot = linear.frame.shot
    scene = PlainScene(shot.geometry, shot.emitter_shapes, linear.radiance)
    few = linear.develop(scene.xyz(FEW, seed=SEEDS[0]))
    started = time.perf_counter()
    xyz = scene.xyz(MANY, seed=SEEDS[1])
    seconds = (time.perf_counter() - started) / MANY
    many = linear.develop(xyz)
    few_denoised, many_denoised = map(linear.denoise, (few, many))
    return Plain(
        shot.setup.name, seconds, truth.error(few), truth.error(many), truth.error(few_denoised),
        truth.error(many_denoised), truth.product(few, many), luminance_ratio(many, linear.raw),
    )  # fmt: skip


def print_plain(plain: Sequence[Plain]) -> None:
    """Print what was measured, and whether the error goes as one over the samples."""
    heads = [
        "plain Mitsuba",
        "s/sample",
        str(FEW),
        str(MANY),
        f"{FEW}, denoised",
        f"{MANY}, denoised",
        "off by, squared",
    ]
    measured = [(p.few, p.many, p.few_denoised, p.many_denoised, p.bias) for p in plain]
    rows = [[p.setup, f"{p.seconds:.3f}", *map(str, errors)] for p, errors in zip(plain, measured, strict=True)]
    means = [str(mean_of(list(errors))) for errors in zip(*measured, strict=True)]
    rows.append(["mean", f"{np.mean([p.seconds for p in plain]):.3f}", *means])
    table("relative squared error of linear frames, 1 at the frame's white", heads, rows)
    powers = sorted(p.power for p in plain)
    print(
        f"about its own mean the error goes as 1 over the samples to the power of {median(powers):.2f} (median; "
        f"{powers[0]:.2f} to {powers[-1]:.2f})"
    )
    table("mean luminance of the frame", ["", "plain over ours"], [[p.setup, f"{p.luminance:.4f}"] for p in plain])


def _power(few: float, many: float) -> float:
    return float(np.log(few / many) / np.log(MANY / FEW))
