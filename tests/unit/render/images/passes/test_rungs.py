"""Rungs are two a doubling, and the same from wherever an image starts."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from render.images.passes.rungs import is_doubling, last_doubling, next_rung, rungs_to


def test_rungs_are_the_powers_of_two_and_from_eight_on_those_between() -> None:
    assert list(rungs_to(0, 128)) == [2, 4, 8, 12, 16, 24, 32, 48, 64, 96, 128]


@given(st.integers(0, 5000), st.integers(1, 5000))
def test_what_is_asked_for_comes_last_after_all_rungs_between(passes: int, wanted: int) -> None:
    way = list(rungs_to(passes, wanted))
    assert way == [rung for rung in rungs_to(0, 10_000) if passes < rung < wanted] + [wanted] * (passes < wanted)


@given(st.integers(0, 100_000))
def test_a_rung_adds_what_is_there_at_most(passes: int) -> None:
    assert passes < next_rung(passes) <= max(2, 2 * passes)
    assert next_rung(next_rung(passes)) <= 2 * next_rung(passes)


@pytest.mark.parametrize(("passes", "doubling"), [(1, 1), (2, 2), (3, 2), (4, 4), (12, 8), (16, 16), (24, 16)])
def test_the_last_doubling_is_the_power_of_two_below(passes: int, doubling: int) -> None:
    assert last_doubling(passes) == doubling
    assert is_doubling(passes) == (passes == doubling)
