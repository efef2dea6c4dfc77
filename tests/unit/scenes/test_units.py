"""The conversions between what people say and what the physics wants."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.units import metres, mired, ratio, stops


def test_a_hundred_cm_are_a_metre_in_any_shape() -> None:
    assert metres(100) == 1
    np.testing.assert_allclose(metres([[70, 100], [0, -45]]), [[0.7, 1.0], [0, -0.45]], rtol=1e-15)


@pytest.mark.parametrize(("lights", "apart"), [(1, 0), (2, 1), (8, 3), (0.25, -2), (2**0.5, 0.5)])
def test_a_stop_is_a_doubling(lights: float, apart: float) -> None:
    assert stops(lights) == pytest.approx(apart, abs=1e-12)
    assert ratio(apart) == pytest.approx(lights, rel=1e-12)


@given(st.floats(-30, 30))
def test_a_ratio_is_read_back_as_its_stops(apart: float) -> None:
    assert stops(ratio(apart)) == pytest.approx(apart, abs=1e-9)


def test_no_light_is_infinitely_many_stops_down() -> None:
    assert stops(0.0) == -math.inf


@pytest.mark.parametrize(("kelvin", "reciprocal"), [(1e6, 1), (5000, 200), (4000, 250), (2000, 500)])
def test_mired_is_a_million_over_kelvin(kelvin: float, reciprocal: float) -> None:
    assert mired(kelvin) == pytest.approx(reciprocal, rel=1e-15)
