"""Sums of passes: which passes come next, whatever was traced so far, and what they go on from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from render.images.bands import PLANE_COUNT
from render.images.passes.pass_sums import PassSums
from render.images.passes.sealing import seal
from tests.support.light import CAMERA

SIZE = (PLANE_COUNT, CAMERA.height, CAMERA.width)


def numbers(sums: PassSums, passes: int, together: int) -> list[list[int]]:
    """Return the passes of each launch up to a number of passes."""
    launches = []
    while step := sums.next_passes(passes, together):
        launches.append(list(step))
        sums = sums.with_passes(step.start, np.zeros(SIZE, np.float32), len(step))
    return launches


def sealed(passes: int) -> PassSums:
    """Return sums of no pass upon a sealed image."""
    ones = np.ones(SIZE, np.float32)
    return PassSums.empty(CAMERA, 0, replace(seal(PassSums(ones, ones, 1, 1)), passes=passes))


def test_a_launch_has_passes_of_one_half_and_a_round_those_of_both() -> None:
    assert numbers(PassSums.empty(CAMERA, 0), 3, 1) == [[0], [1], [2]]
    assert numbers(PassSums.empty(CAMERA, 0), 6, 4) == [[0, 2], [1, 3], [4], [5]]


def test_the_passes_upon_a_sealed_image_begin_where_its_own_end() -> None:
    assert numbers(sealed(2), 8, 4) == [[2, 4], [3, 5], [6], [7]]
    assert numbers(sealed(3), 6, 1) == [[3], [4], [5]]


@given(first=st.integers(0, 5), passes=st.integers(0, 40), together=st.sampled_from([1, 2, 16]), stop=st.integers(0, 9))
def test_every_pass_is_traced_once_and_an_interruption_changes_no_launch(
    first: int, passes: int, together: int, stop: int
) -> None:
    start = sealed(first) if first else PassSums.empty(CAMERA, 0)
    launches = numbers(start, first + passes, together)
    assert sorted(number for launch in launches for number in launch) == list(range(first, first + passes))
    for launch in launches[:stop]:
        start = start.with_passes(launch[0], np.zeros(SIZE, np.float32), len(launch))
    assert numbers(start, first + passes, together) == launches[stop:]


@pytest.mark.parametrize("passes", [1, 2, 7])
def test_a_sealed_image_weighs_as_its_passes(passes: int) -> None:
    sums = sealed(2)
    for number in range(2, 2 + passes):
        sums = sums.with_passes(number, np.full(SIZE, 3.0, np.float32))
    assert sums.passes == 2 + passes
    np.testing.assert_allclose(sums.mean, (2 * 1 + passes * 3) / (2 + passes), rtol=1e-6)
