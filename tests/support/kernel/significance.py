"""Whether two Monte Carlo estimates agree, from independent batches of each, and how small a difference would show.

Batches are taken to be independent and of equal weight; within one the samples may depend on each other as they like,
so the tests hold for low-discrepancy points too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats

from materials.arrays import Array

LEVEL = 0.001
"""How often a test, with all it looks at, may call two equal estimates different."""
LEAST_BATCHES = 16
ROUNDING = 2.0**-20
"""Of a mean: what single precision leaves uncertain in a sum of some samples, where the estimates have no noise."""
NOTHING = 1e-50
"""So that where both estimates are nothing their difference is 0, not 0 over 0."""


@dataclass(frozen=True)
class Estimate:
    """The mean of independent batches, the unbiased variance of one batch, and their number."""

    mean: Array
    variance: Array
    batches: int

    @classmethod
    def of(cls, batches: Array) -> Estimate:
        """Return the estimate of batches along the first axis."""
        return cls(batches.mean(axis=0), batches.var(axis=0, ddof=1), len(batches))

    def __truediv__(self, unit: Array | float) -> Estimate:
        """Return the estimate in another unit."""
        return Estimate(self.mean / unit, self.variance / np.square(unit), self.batches)

    @property
    def squared_error(self) -> Array:
        """The variance of the mean, no less than rounding makes it."""
        rounding = ROUNDING * np.abs(self.mean) + NOTHING
        return np.maximum(self.variance / self.batches, rounding**2)


@dataclass(frozen=True)
class Worst:
    """The largest of many differences in standard deviations, and the bound that none should pass.

    `half_width` is the median of the simultaneous confidence intervals, in the unit of the estimates: half of the
    differences are known as well as that.
    """

    z: float
    bound: float
    half_width: float

    @property
    def agrees(self) -> bool:
        """Whether no difference lies beyond the bound."""
        return self.z <= self.bound


@dataclass(frozen=True)
class Ratio:
    """A ratio of two means, and half the width of its confidence interval."""

    value: float
    half_width: float

    def contains(self, value: float) -> bool:
        """Return whether the interval contains `value`."""
        return abs(self.value - value) <= self.half_width


def worst_difference(ours: Estimate, theirs: Estimate, level: float = LEVEL) -> Worst:
    """Return the worst of the differences of two estimates of many numbers, all the rest being looked at together.

    Notes
    -----
    Each difference is tested by Welch (Biometrika 34, 28, 1947) with the degrees of freedom of Satterthwaite
    (Biometrics Bulletin 2, 110, 1946), and given as the standard deviations of a normal variable that are as rare. The
    bound is Sidak's (J. Am. Stat. Assoc. 62, 626, 1967): with it `level` is the rate of false alarms of all together.
    """
    difference, error, freedom = _welch(ours, theirs)
    each = sidak(level, difference.size)
    as_rare = stats.norm.isf(stats.t.sf(np.abs(difference) / error, freedom))
    half_width = stats.t.isf(each / 2, freedom) * error
    return Worst(float(as_rare.max()), float(stats.norm.isf(each / 2)), float(np.median(half_width)))


def mean_ratio(ours: Estimate, theirs: Estimate, level: float = LEVEL) -> Ratio:
    """Return the ratio of the means of two estimates of one number with its interval of confidence 1 - `level`.

    Notes
    -----
    The standard error is that of the delta method, the relative variances added; means known to a part in a thousand
    make its next term a part in a million. Degrees of freedom as in `worst_difference`.
    """
    assert theirs.mean != 0, "a ratio to nothing"
    value = float(ours.mean / theirs.mean)
    _, error, freedom = _welch(ours / ours.mean, theirs / theirs.mean)
    return Ratio(value, float(value * stats.t.isf(level / 2, freedom) * error))


def mean_of(batches: Array, level: float = LEVEL) -> Ratio:
    """Return the mean of (batches,) numbers with half the width of Student's interval of confidence 1 - `level`."""
    assert len(batches) > 1
    error = batches.std(ddof=1) / np.sqrt(len(batches))
    return Ratio(float(batches.mean()), float(stats.t.isf(level / 2, len(batches) - 1) * error))


def sidak(level: float, count: int) -> float:
    """Return the level of each of `count` independent tests that makes `level` of all together."""
    return float(-np.expm1(np.log1p(-level) / count))


def _welch(ours: Estimate, theirs: Estimate) -> tuple[Array, Array, Array]:
    """Return the difference of the means, its standard error and its degrees of freedom."""
    assert min(ours.batches, theirs.batches) >= LEAST_BATCHES, "too few batches to know their spread"
    parts = [ours.squared_error, theirs.squared_error]
    total = parts[0] + parts[1]
    freedom = total**2 / (parts[0] ** 2 / (ours.batches - 1) + parts[1] ** 2 / (theirs.batches - 1))
    return ours.mean - theirs.mean, np.sqrt(total), freedom
