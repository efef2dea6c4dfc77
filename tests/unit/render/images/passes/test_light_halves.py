"""Halves are the light of even and of odd passes, whenever they were added."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from render.images.passes.light_halves import LightHalves
from render.images.passes.pass_sums import PassSums
from render.images.reference_light import TO_SRGB, reference_light
from tests.support.kernel.stub_kernel import Kernel
from tests.support.light import CAMERA


def sums(first: int, end: int) -> PassSums:
    """Return the sums of some passes."""
    total = PassSums.empty(CAMERA, 0)
    for number in range(first, end):
        total = total.with_passes(number, Kernel.one(number, 0))
    return total


@pytest.mark.parametrize("rungs", [(2, 16), (2, 4, 8, 16), (2, 4, 16), (2, 3, 4, 16)])
def test_halves_are_those_of_all_passes_however_they_came(rungs: tuple[int, ...]) -> None:
    halves = LightHalves.empty(CAMERA)
    for first, end in pairwise(rungs):
        halves = halves.with_sums(sums(first, end))
    assert halves.passes.tolist() == [7, 7]
    for half in range(2):
        total = PassSums.empty(CAMERA, 0)
        for number in range(2 + half, 16, 2):
            total = total.with_passes(number, Kernel.one(number, 0))
        xyz, _ = reference_light(total)
        np.testing.assert_allclose(np.add(*halves.direct_and_indirect(half)), xyz @ TO_SRGB.T, rtol=4e-3, atol=1e-3)


def test_direct_and_indirect_light_of_a_half_are_apart() -> None:
    total = sums(2, 4)
    halves = LightHalves.empty(CAMERA).with_sums(total)
    even = PassSums(total.even, np.zeros_like(total.even), 1, 0)
    direct, indirect = halves.direct_and_indirect(0)
    share = reference_light(even).indirect_share[..., None]
    np.testing.assert_allclose(indirect, (direct + indirect) * share, rtol=0, atol=np.abs(direct).max() / 400)


@pytest.mark.parametrize(("end", "both"), [(2, False), (3, False), (4, True)])
def test_both_halves_are_there_once_each_has_a_pass(end: int, both: bool) -> None:
    halves = LightHalves.empty(CAMERA)
    assert not halves.passes.any()
    assert halves.with_sums(sums(2, end)).passes.all() == both
