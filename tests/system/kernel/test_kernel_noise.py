"""Whose noise is independent of whose: of passes, and of lamps in different groups; and what a mix of lamps has."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
import pytest

from materials.arrays import Array
from render.kernel.trace import Tracer
from tests.support.kernel.significance import Ratio, mean_of
from tests.support.notes import note
from tests.support.still_life import FINISHES, LAMPS, still_life

pytestmark = pytest.mark.slow
SECTION = "noise of the kernel, 99.9 % intervals"
THREE = ("panel", "disc", "bulb")
GROUPS = 48
KNOWN_TO = 0.04
"""Half-width of a correlation; the same paths for two lamps have one of some tenths."""

Passes = dict[str, Array]


@pytest.fixture(scope="module")
def passes() -> Passes:
    """Return an even and an odd pass in many groups, lamp by lamp: (2, groups, pixels), all bands together.

    Passes of one group and parity go on with one sequence, and so are not independent.
    """
    tracer = Tracer(still_life(FINISHES["satin plastic"], height_px=48, width_px=64))
    lamps = [LAMPS[kind] for kind in THREE]
    traced = [[tracer.images(lamps, number, group).sum(axis=1) for group in range(GROUPS)] for number in (0, 1)]
    pictures = np.moveaxis(np.array(traced, float), 2, 0).reshape(len(THREE), 2, GROUPS, -1)
    reached = pictures.any(axis=(1, 2)).all(axis=0)
    return dict(zip(THREE, pictures[..., reached], strict=True))


@pytest.mark.parametrize("kind", THREE)
def test_the_noise_of_even_and_of_odd_passes_is_independent(passes: Passes, kind: str) -> None:
    _check_independent(f"even and odd passes, {kind}", *passes[kind])


@pytest.mark.parametrize("kind", THREE)
@pytest.mark.parametrize("other", THREE)
def test_the_noise_of_groups_is_independent(passes: Passes, kind: str, other: str) -> None:
    ours, theirs = _together(passes[kind][:, 0::2]), _together(passes[other][:, 1::2])
    _check_independent(f"two groups, {kind} and {other}", ours, theirs)


def test_the_noise_of_three_lamps_in_three_groups_is_that_of_independent_paths(passes: Passes) -> None:
    shared = _noise_of_mix([_together(passes[kind]) for kind in THREE])
    apart = _noise_of_mix([_together(passes[kind][:, group::3]) for group, kind in enumerate(THREE)])
    for words, found in (("one group", shared), ("three groups", apart)):
        note(SECTION, f"a mix of three lamps in {words}, over independent paths: {_shown(found)}")
    assert apart.value + apart.half_width < 1.1
    assert apart.contains(1.0)


def test_lamps_of_one_group_share_noise(passes: Passes) -> None:
    """What groups are for; were it not so, the tests above would show nothing."""
    for kind, other in combinations(THREE, 2):
        found = _correlation(_together(passes[kind]), _together(passes[other]))
        note(SECTION, f"one group, {kind} and {other}: correlation {_shown(found)}")
        assert found.value > found.half_width


def _check_independent(case: str, ours: Array, theirs: Array) -> None:
    found = _correlation(ours, theirs)
    note(SECTION, f"{case}: correlation {_shown(found)}")
    assert found.half_width < KNOWN_TO
    assert found.contains(0.0)


def _correlation(ours: Array, theirs: Array) -> Ratio:
    """Return the correlation of two (passes, pixels), each pixel by its own noise."""
    pairs = [_noise(side) / _spread(side) for side in (ours, theirs)]
    return mean_of((pairs[0] * pairs[1]).mean(axis=1))


def _noise_of_mix(lamps: Sequence[Array]) -> Ratio:
    """Return the noise of a sum over that of the same with independent noise."""
    alone = sum(_spread(lamp) ** 2 for lamp in lamps)
    mixed = mean_of((_noise(sum(lamps[1:], lamps[0])) ** 2 / alone).mean(axis=1))
    noise = float(np.sqrt(mixed.value))
    return Ratio(noise, mixed.half_width / 2 / noise)


def _together(passes: Array) -> Array:
    """Return (n, pixels) of (2, groups, pixels)."""
    return passes.reshape(-1, passes.shape[-1])


def _noise(passes: Array) -> Array:
    """Return differences of passes two by two, which have the noise of two and nothing of the picture."""
    return np.asarray(passes[0::2] - passes[1::2])


def _spread(passes: Array) -> Array:
    return np.asarray(np.sqrt((_noise(passes) ** 2).mean(axis=0)))


def _shown(found: Ratio) -> str:
    return f"{found.value:+.3f} ± {found.half_width:.3f}"
