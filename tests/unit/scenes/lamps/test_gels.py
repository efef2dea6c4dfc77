"""Gels by the mired shift that is wanted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.lamps.gels import FULL_MIRED, VISIBLE_MIRED, loss_stops, nearest_gel


@pytest.mark.parametrize(
    ("mired", "name"),
    [
        (131, "full CTO"), (66, "half CTO"), (-33, "quarter CTB"), (-16, "eighth CTB"), (80, "half CTO"),
        (197, "full + half CTO"), (-98, "half + quarter CTB"), (262, "full + full CTO"),
    ],
)  # fmt: skip
def test_a_gel_is_the_one_of_that_shift_or_two_that_make_it(mired: float, name: str) -> None:
    assert nearest_gel(mired).name == name


@given(st.floats(20, 270), st.sampled_from([1, -1]))
def test_what_a_gel_leaves_is_hardly_seen(mired: float, sign: int) -> None:
    gel = nearest_gel(sign * mired)
    assert gel.mired * sign > 0
    assert abs(gel.mired - sign * mired) <= FULL_MIRED / 4 + 1
    assert abs(gel.mired - sign * mired) < VISIBLE_MIRED or "+" in gel.name


@given(st.floats(1, 300), st.floats(1, 300))
def test_gels_on_one_another_take_what_each_takes(one: float, other: float) -> None:
    assert loss_stops(one + other) == pytest.approx(loss_stops(one) + loss_stops(other))
    assert loss_stops(-one) == pytest.approx(3 * loss_stops(one))
