"""A sheet that is to be some times frame white: the dimmers that make it so, on luminances that are known."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from render.readings.sheet_dimming import SheetLight, solve_sheet

levels = st.floats(0.1, 1e3)


@given(levels, levels, levels, levels, st.floats(0.1, 3))
def test_what_is_solved_is_as_white_as_wanted_wherever_that_is_in_reach(
    sheet: float, others: float, spill: float, key: float, wanted: float
) -> None:
    spread = np.array([0.2, 1.0, 1.0, 1.5, 9.0])
    light = SheetLight(sheet * spread, others * spread[::-1], np.ones(5), spill, key, 1.0)
    factors = solve_sheet(light, wanted, least_sheet=0.0, least_others=0.125)
    got = light.over_white(*factors)
    if factors in ((0.0, 1.0), (1.0, 0.125)):
        assert got >= wanted * (1 - 1e-9) if factors[0] == 0 else got <= wanted * (1 + 1e-9)
    else:
        assert got == pytest.approx(wanted, rel=1e-3)
        assert factors[0] == 1.0 or factors[1] == 1.0


def test_the_median_pixel_counts_and_not_the_mean() -> None:
    light = SheetLight(np.array([1.0, 2.0, 99.0]), np.zeros(3), np.zeros(3), 0.0, 4.0, 0.0)
    assert light.over_white(1.0, 1.0) == 0.5


def test_in_the_dark_nothing_is_white() -> None:
    dark = SheetLight(np.zeros(3), np.zeros(3), np.zeros(3), 0.0, 0.0, 0.0)
    assert dark.over_white(1.0, 1.0) == 0.0
