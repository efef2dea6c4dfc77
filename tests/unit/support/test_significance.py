"""The statistics that compare two estimates: how often they cry wolf, and what they do not miss."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from materials.arrays import Array
from tests.support.kernel.significance import Estimate, Worst, mean_of, mean_ratio, sidak, worst_difference

TRIALS = 2000
NOISE = 0.001


def batches(seed: int, mean: float = 1.0, shape: tuple[int, ...] = (16,), noise: float = NOISE) -> Array:
    return mean + noise * np.random.default_rng(seed).standard_normal(shape)


def estimate(seed: int, mean: float = 1.0, shape: tuple[int, ...] = (16,), noise: float = NOISE) -> Estimate:
    return Estimate.of(batches(seed, mean, shape, noise))


def test_an_interval_misses_as_often_as_its_level_says() -> None:
    level, pairs = 0.05, [(estimate(2 * i), estimate(2 * i + 1, noise=2 * NOISE)) for i in range(TRIALS)]
    missed = sum(not mean_ratio(*pair, level).contains(1.0) for pair in pairs)
    assert abs(missed / TRIALS - level) < 4 * np.sqrt(level * (1 - level) / TRIALS)


def test_the_worst_of_many_passes_its_bound_as_often_as_its_level_says() -> None:
    level, shape = 0.05, (16, 50)
    pairs = [(estimate(2 * i, shape=shape), estimate(2 * i + 1, shape=shape)) for i in range(TRIALS)]
    alarms = sum(not worst_difference(*pair, level).agrees for pair in pairs)
    assert abs(alarms / TRIALS - level) < 4 * np.sqrt(level * (1 - level) / TRIALS)


@pytest.mark.parametrize("error", [-0.003, 0.003])
def test_three_thousandths_of_all_are_seen_where_the_interval_is_one_thousandth(error: float) -> None:
    for seed in range(100):
        found = mean_ratio(estimate(2 * seed, 1 + error), estimate(2 * seed + 1))
        assert found.half_width < 0.003
        assert not found.contains(1.0)


def test_one_tile_that_is_wrong_is_seen_among_many() -> None:
    ours, theirs = batches(1, shape=(32, 192)), estimate(2, shape=(32, 192))
    assert worst_difference(Estimate.of(ours), theirs).agrees
    ours[:, 77] += 3 * NOISE
    assert not worst_difference(Estimate.of(ours), theirs).agrees


def test_the_bound_grows_with_how_much_is_looked_at() -> None:
    bounds = [worst_difference(estimate(1, shape=(16, n)), estimate(2, shape=(16, n))).bound for n in (1, 10, 100)]
    assert bounds == pytest.approx([3.2905, 3.8905, 4.4171], abs=1e-4)
    assert sidak(0.05, 1) == pytest.approx(0.05)


def test_welch_is_scipys() -> None:
    ours, theirs = batches(1, 1.001, (16, 1)), batches(2, shape=(40, 1), noise=3 * NOISE)
    p = stats.ttest_ind(ours, theirs, equal_var=False).pvalue[0]
    assert worst_difference(Estimate.of(ours), Estimate.of(theirs)).z == pytest.approx(stats.norm.isf(p / 2))


def test_what_has_no_noise_agrees_to_rounding_and_no_further() -> None:
    theirs = np.ones((16, 3))
    theirs[:, 0] = 0.0

    def compared(ours: Array) -> Worst:
        return worst_difference(Estimate.of(ours), Estimate.of(theirs))

    assert compared(theirs).z == 0.0
    assert compared(theirs * (1 + 1e-7)).agrees
    assert not compared(theirs * (1 + 1e-4)).agrees
    assert not compared(theirs + np.array([1e-9, 0.0, 0.0])).agrees


def test_an_estimate_in_another_unit_is_that_of_batches_in_that_unit() -> None:
    values, unit = batches(1, 5.0, (16, 3)), np.array([2.0, 0.5, 7.0])
    scaled, direct = Estimate.of(values) / unit, Estimate.of(values / unit)
    assert scaled.mean == pytest.approx(direct.mean)
    assert scaled.variance == pytest.approx(direct.variance)
    assert scaled.batches == direct.batches == 16


def test_an_interval_of_a_mean_is_students() -> None:
    values = batches(3)
    low, high = stats.t.interval(0.999, 15, values.mean(), values.std(ddof=1) / 4)
    found = mean_of(values)
    assert found.value - found.half_width == pytest.approx(low)
    assert found.value + found.half_width == pytest.approx(high)


def test_too_few_batches_are_refused() -> None:
    with pytest.raises(AssertionError, match="too few batches"):
        mean_ratio(estimate(1, shape=(15,)), estimate(2))
