"""Half-float with a scale keeps eleven bits of every value, however large or small an image is."""

from __future__ import annotations

import numpy as np
import pytest

from render.images.passes.half_float import from_half_float, to_half_float


@pytest.mark.parametrize("level", [1e-30, 1e-6, 1.0, 3e4, 1e30])
def test_values_are_rounded_by_half_a_thousandth_at_most(level: float) -> None:
    values = (np.random.default_rng(1).uniform(-1, 1, 1000) * level).astype(np.float32)
    scaled, scale = to_half_float(values)
    assert np.all(np.abs(from_half_float(scaled, scale) - values) <= np.maximum(5e-4 * np.abs(values), level * 2**-29))
    assert np.log2(scale) == int(np.log2(scale))


def test_zeros_stay_zeros() -> None:
    scaled, scale = to_half_float(np.zeros(4, np.float32))
    assert scale == 1
    assert not from_half_float(scaled, scale).any()
