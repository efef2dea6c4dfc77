"""Errors of pictures, without a perfect reference.

With R and R' two independent unbiased renders, the mean of (x - R) (x - R') is an unbiased estimate of (x - truth)^2
for any x that is independent of both: their noise has mean zero, and does not meet itself in the product.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.float32]

EPSILON = 1e-4
"""Added to the square of the reference: pixels under 1 % of white count by their absolute error."""
STEP = 4  # every fourth pixel of every fourth row is one of 16 samples of the picture

LUMINANCE = np.array([0.2126, 0.7152, 0.0722])  # of linear sRGB, IEC 61966-2-1


@dataclass(frozen=True)
class Estimate:
    """A measured value with its standard error."""

    value: float
    standard_error: float

    @property
    def relative(self) -> float:
        """The standard error as a share of the value."""
        return self.standard_error / self.value

    def __str__(self) -> str:
        return f"{self.value:.2e} ± {self.standard_error:.0e}"

    def __format__(self, spec: str) -> str:
        return f"{self.value:{spec}} ± {self.standard_error:{spec}}" if spec else str(self)


@dataclass(frozen=True, eq=False)
class Truth:
    """What pictures are held against: two independent halves and what to divide by, each (height, width, channels).

    `level` is the value that counts as 1, the frame's white.
    """

    halves: tuple[Picture, Picture]
    denominator: Picture
    level: float = 1.0

    def error(self, picture: Picture) -> Estimate:
        """Return the relative mean squared error: the mean of (x - r)^2 / (r^2 + epsilon)."""
        return self.product(picture, picture)

    def product(self, one: Picture, other: Picture) -> Estimate:
        """Return the mean of (x - r) (y - r) / (r^2 + epsilon).

        Of two independent pictures of one method it is the square of what the method's mean is off by.
        """
        first, second = self.halves
        crossed = ((one - first) * (other - second) + (one - second) * (other - first)) / 2
        squared = np.square(self.denominator, dtype=np.float64) + EPSILON * self.level**2
        weighted = crossed.astype(np.float64) / squared
        return Estimate(float(weighted.mean()), _standard_error(_parts(weighted)))


def luminance_ratio(one: Picture, other: Picture) -> Estimate:
    """Return the mean luminance of a linear sRGB picture over that of another."""
    above, below = (picture.astype(np.float64) @ LUMINANCE for picture in (one, other))
    return Estimate(above.mean() / below.mean(), _standard_error(_parts(above) / _parts(below)))


def mean_of(estimates: list[Estimate]) -> Estimate:
    """Return the mean of independent estimates."""
    errors = [e.standard_error for e in estimates]
    return Estimate(float(np.mean([e.value for e in estimates])), float(np.linalg.norm(errors)) / len(errors))


def _parts(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the means of the samples of pixels, which are as good as independent."""
    parts = [values[row::STEP, column::STEP].mean() for row in range(STEP) for column in range(STEP)]
    return np.array(parts)


def _standard_error(parts: NDArray[np.float64]) -> float:
    return float(parts.std(ddof=1) / np.sqrt(parts.size))
