"""Which lamp images get passes next: those that lower the error of the frames most for their cost.

Pure arithmetic on measured variances, in a fixed order: equal sums give equal rounds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from render.images.passes.rungs import next_rung


@dataclass(frozen=True)
class ImageState:
    """How far a lamp image is.

    Parameters
    ----------
    geometry
        The number of its geometry: its images of equally many passes are traced together.
    passes
        Number of passes.
    path_cost, lamp_cost
        Of a pass: of the paths that images traced together share, and of the image.
    """

    geometry: int
    passes: int
    path_cost: float
    lamp_cost: float


class Step(NamedTuple):
    """Images of a geometry that go to their next rung together, and what that costs."""

    images: tuple[int, ...]
    passes: int
    cost: float


FrameShares = Mapping[int, float]
"""By the number of an image, the mean square error that it brings to a frame at its passes."""


def allot(images: Sequence[ImageState], frames: Sequence[FrameShares], budget: float) -> list[int]:
    """Return the passes that each image is to have, after steps that cost about the budget: one step at least.

    The error of a sheet is the sum over its frames of the square of their mean square errors: the coarsest count most.
    The mean square error of a frame is the sum of its images' shares, and a share falls as passes grow. Where no frame
    has an error, there is no step.
    """
    passes = [image.passes for image in images]
    left = budget
    while left > 0:
        variances = _variances(images, frames, passes)
        gain, step = max(
            (_gain(step, passes, variances) / step.cost, step) for step in _steps(images, passes, variances)
        )
        if gain <= 0:
            break
        for image in step.images:
            passes[image] = step.passes
        left -= step.cost
    return passes


def _variances(images: Sequence[ImageState], frames: Sequence[FrameShares], passes: Sequence[int]) -> list[float]:
    """Return how much each image adds to the error of the sheet, times its passes."""
    variances = [0.0] * len(images)
    for frame in frames:
        one_pass = {image: share * images[image].passes for image, share in frame.items()}
        mean_square = sum(variance / passes[image] for image, variance in one_pass.items())
        for image, variance in one_pass.items():
            variances[image] += mean_square * variance
    return variances


def _gain(step: Step, passes: Sequence[int], variances: Sequence[float]) -> float:
    """Return how much a step lowers the error of the sheet."""
    return sum(variances[image] * (1 / passes[image] - 1 / step.passes) for image in step.images)


def _steps(images: Sequence[ImageState], passes: Sequence[int], variances: Sequence[float]) -> Iterator[Step]:
    """Yield the steps of each geometry and number of passes: of its noisiest image, of its two noisiest, and so on."""
    together: dict[tuple[int, int], list[int]] = {}
    for number, image in enumerate(images):
        together.setdefault((image.geometry, passes[number]), []).append(number)
    for (_, now), numbers in together.items():
        numbers.sort(key=lambda number: -variances[number])
        rung = next_rung(now)
        for count in range(1, len(numbers) + 1):
            chosen = numbers[:count]
            each = images[chosen[0]].path_cost + sum(images[number].lamp_cost for number in chosen)
            yield Step(tuple(chosen), rung, each * (rung - now))


def spent(images: Sequence[ImageState]) -> float:
    """Return what the passes of images have cost so far, if those of a geometry were traced together."""
    most: dict[int, float] = {}
    for image in images:
        most[image.geometry] = max(most.get(image.geometry, 0.0), image.path_cost * image.passes)
    return sum(most.values()) + sum(image.lamp_cost * image.passes for image in images)
