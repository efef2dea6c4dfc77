"""Sampling points: every power of two of them is a net, and a sequence is its seed's alone."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from render.kernel.backend import mitsuba
from render.kernel.paths.sampler import Sampler, sequence_seed

COUNT = 16


def pairs(seed: int, dimension: int, first: int = 0) -> NDArray[np.float64]:
    """Return 16 pairs, (16, 2)."""
    mi = mitsuba()
    index = mi.UInt32(np.arange(first, first + COUNT, dtype=np.uint32))
    sampler = Sampler(sequence_seed(mi.UInt32(seed), mi.UInt32(3)), index)
    return np.array(sampler.sample_2d(mi.UInt32(dimension)), float).T


@pytest.mark.parametrize("seed", [0, 1, 77])
@pytest.mark.parametrize("dimension", [0, 5])
@pytest.mark.parametrize("first", [0, 16, 160])
@pytest.mark.parametrize("columns", [1, 2, 4, 8, 16])
def test_sixteen_pairs_put_one_in_every_elementary_interval(
    seed: int, dimension: int, first: int, columns: int
) -> None:
    """Sobol's first two dimensions are a (0, 2)-sequence, and Owen's scrambling keeps that (Owen 1995)."""
    x, y = pairs(seed, dimension, first).T
    cells = np.floor(x * columns) * (COUNT // columns) + np.floor(y * (COUNT // columns))
    assert sorted(cells) == list(range(COUNT))


def test_another_seed_or_dimension_gives_other_points() -> None:
    chosen = [pairs(*of) for of in ((0, 0), (1, 0), (0, 1), (0, 5))]
    assert len({p.tobytes() for p in chosen}) == len(chosen)
    np.testing.assert_array_equal(pairs(0, 0), chosen[0])


@pytest.mark.slow
def test_points_lie_in_the_unit_square_evenly() -> None:
    many = np.concatenate([pairs(seed, dimension) for seed in range(50) for dimension in range(8)])
    assert many.min() >= 0
    assert many.max() < 1
    np.testing.assert_allclose(many.mean(axis=0), 0.5, atol=0.01)
    np.testing.assert_allclose(np.corrcoef(many.T)[0, 1], 0, atol=0.05)
