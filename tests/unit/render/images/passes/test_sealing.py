"""Sealed lamp images: how exact they are, what they say of their error, and how many bytes they take."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from io import BytesIO
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from render.images.bands import BAND_COUNT, INDIRECT_PLANE, PLANE_COUNT, RANGE_NM, SPECULAR_PLANE
from render.images.passes.pass_sums import PassSums
from render.images.passes.sealing import SealedImage, seal, sealed_bytes
from render.images.store.container import write_arrays
from tests.support.light import CAMERA

HALF_FLOAT_STEP = 2.0**-11
"""The largest relative rounding error of half-float: it has 11 bits."""
SIZE = (20, 28)
"""No whole number of tiles."""


def sums(planes: NDArray[np.floating], *, passes: int = 1, noise: float = 0.0, seed: int = 0) -> PassSums:
    """Return sums of as many passes in each half, each with gamma noise of a relative standard deviation."""
    rng = np.random.default_rng(seed)
    halves = []
    for _ in range(2):
        factor = rng.gamma(passes / noise**2, noise**2, planes.shape[1:]) if noise else passes
        halves.append((planes * factor).astype(np.float32))
    even, odd = halves
    return PassSums(even, odd, passes, passes)


def planes_of(level: NDArray[np.floating], specular: Any = 0.0, indirect: Any = 0.0) -> NDArray[np.float64]:
    """Return planes whose mean over wavelengths is `level`, unequal in the bands, with shares of it as its parts."""
    colour = np.linspace(0.5, 1.5, BAND_COUNT) * (RANGE_NM[1] - RANGE_NM[0]) / BAND_COUNT
    return np.concatenate([colour[:, None, None] * level, [specular * level, indirect * level]])


LEVELS: dict[str, Callable[[], NDArray[np.float64]]] = {
    "ordinary": lambda: np.random.default_rng(1).uniform(0.01, 1, SIZE),
    "all equal": lambda: np.full(SIZE, 0.3),
    "past 65504": lambda: np.random.default_rng(1).uniform(1e5, 1e9, SIZE),
    "subnormal in half-float": lambda: np.random.default_rng(1).uniform(1e-9, 1e-7, SIZE),
    "almost nothing": lambda: np.random.default_rng(1).uniform(1e-36, 1e-35, SIZE),
    "of eight orders of magnitude": lambda: np.geomspace(1e-8, 1, SIZE[0] * SIZE[1]).reshape(SIZE),
}


@pytest.mark.parametrize("level", LEVELS)
def test_the_mean_is_kept_to_half_a_thousandth(level: str) -> None:
    planes = planes_of(LEVELS[level]())
    exact = sums(planes)
    np.testing.assert_allclose(seal(exact).mean, exact.mean, rtol=HALF_FLOAT_STEP)


def test_what_is_far_under_the_brightest_is_kept_to_a_billionth_of_it() -> None:
    level = np.geomspace(1e-14, 1, SIZE[0] * SIZE[1]).reshape(SIZE)
    exact = sums(planes_of(level))
    np.testing.assert_allclose(seal(exact).mean, exact.mean, rtol=HALF_FLOAT_STEP, atol=2.0**-39 * exact.mean.max())


def test_black_stays_black_and_has_neither_parts_nor_an_error() -> None:
    dark = seal(sums(np.zeros((PLANE_COUNT, *SIZE))))
    for image in (dark.mean, dark.specular, dark.indirect, dark.relative_error):
        assert not image.any()


def test_a_value_that_is_none_stays_where_it_is() -> None:
    planes = planes_of(np.full(SIZE, 0.3))
    planes[:, 3, 4], planes[:, 5, 6] = np.inf, np.nan
    mean = seal(sums(planes)).mean
    assert np.isinf(mean[:, 3, 4]).all()
    assert np.isnan(mean[:, 5, 6]).all()
    others = np.ones(SIZE, bool)
    others[3, 4] = others[5, 6] = False
    np.testing.assert_allclose(mean[:, others], planes[:BAND_COUNT, others], rtol=HALF_FLOAT_STEP)


@given(st.floats(0, 1))
def test_a_share_is_kept_within_half_a_percent_of_the_whole_and_a_small_one_finer(share: float) -> None:
    sealed = seal(sums(planes_of(np.full((8, 8), 0.7), specular=share, indirect=1 - share)))
    step = 1 / 255  # between two codes, of the square root
    for got, expected in ((sealed.specular, share), (sealed.indirect, 1 - share)):
        bound = step * np.sqrt(expected) + step**2 / 4
        assert np.abs(got / 0.7 - expected).max() <= bound + 2e-4  # the whole itself is rounded
        assert bound < 0.005


def test_a_part_of_more_than_the_whole_is_the_whole() -> None:
    sealed = seal(sums(planes_of(np.full((8, 8), 0.7), specular=1.01)))
    np.testing.assert_allclose(sealed.specular, sealed.level)


def test_direct_and_indirect_light_of_a_band_make_up_the_band_whatever_the_code() -> None:
    sealed = seal(sums(planes_of(LEVELS["ordinary"](), indirect=0.37)))
    share = sealed.indirect / sealed.level
    np.testing.assert_allclose((1 - share) * sealed.mean + share * sealed.mean, sealed.mean, rtol=1e-6)
    np.testing.assert_allclose(share, 0.37, atol=0.003)


@pytest.mark.parametrize(("passes", "noise"), [(1, 0.3), (8, 0.3), (1, 0.02), (64, 1.5)])
def test_the_error_is_that_of_the_mean(passes: int, noise: float) -> None:
    """Of many tiles, with noise of a known size: within four standard errors of the estimate and half a code."""
    level = np.full((256, 256), 0.4)
    exact = noise / np.sqrt(2 * passes)
    found = seal(sums(planes_of(level), passes=passes, noise=noise)).relative_error
    count = found.size * 64
    kurtosis = 3 + 6 * noise**2 / passes
    bound = 4 * np.sqrt((kurtosis + 1) / 4 / count) + 0.01
    assert np.sqrt(np.mean(np.square(found))) == pytest.approx(exact, rel=bound)


def test_the_error_of_a_noisy_corner_is_seen_in_its_tiles_alone() -> None:
    planes = planes_of(np.full((64, 64), 0.4))
    calm, noisy = sums(planes), sums(planes, noise=0.5)
    even = calm.even.copy()
    even[:, :16, :24] = noisy.even[:, :16, :24]
    found = seal(replace(calm, even=even)).relative_error
    assert (found[:2, :3] > 0.1).all()
    assert found.sum() == found[:2, :3].sum()


def test_of_a_single_pass_the_error_is_not_known() -> None:
    once = PassSums.empty(CAMERA, 0).with_passes(0, np.ones((PLANE_COUNT, CAMERA.height, CAMERA.width), np.float32))
    assert np.isnan(seal(once).relative_error).all()


def test_going_on_from_a_sealed_image_keeps_its_mean_and_adds_up_the_errors() -> None:
    """The standard error over many tiles is that of all passes together, of 2 sealed and 14 on top."""
    level = np.full((256, 256), 0.4)
    planes = planes_of(level, specular=0.2, indirect=0.5)
    draft = seal(sums(planes, passes=1, noise=0.4, seed=1))
    new = sums(planes, passes=7, noise=0.4, seed=2)
    fine = seal(replace(new, earlier=draft))
    assert fine.passes == 16
    expected = (2 * draft.mean + 14 * new.mean) / 16
    np.testing.assert_allclose(fine.mean, expected, rtol=1.01 * HALF_FLOAT_STEP)
    exact = 0.4 / np.sqrt(16)
    seen = np.sqrt(np.mean(np.square(fine.level / 0.4 - 1)))
    found = np.sqrt(np.mean(np.square(fine.relative_error)))
    assert seen == pytest.approx(exact, rel=4 / np.sqrt(2 * level.size))
    assert found == pytest.approx(seen, rel=0.02)
    np.testing.assert_allclose(fine.indirect / fine.level, 0.5, atol=0.004)


@pytest.mark.parametrize(("width", "height"), [(480, 640), (1200, 1600), (97, 61)])
def test_a_pixel_takes_26_bytes_and_a_tile_one(width: int, height: int) -> None:
    image = seal(PassSums.empty(replace(CAMERA, width=width, height=height), 0).with_passes(
        0, np.ones((PLANE_COUNT, height, width), np.float32)
    ))  # fmt: skip
    arrays = {name: np.asarray(value) for name, value in vars(image).items()}
    assert arrays.keys() == {field.name for field in fields(SealedImage)}
    file = BytesIO()
    write_arrays(file, "image", arrays)
    held = sum(arrays[name].nbytes for name in ("bands", "specular_share", "indirect_share", "error"))
    assert held == sealed_bytes(replace(CAMERA, width=width, height=height))
    assert file.tell() < held + 2000
    if width % 8 == height % 8 == 0:
        assert held / (width * height) <= 26.02


def test_each_part_is_its_own_plane() -> None:
    sealed = seal(sums(planes_of(np.full(SIZE, 0.3), specular=0.25, indirect=0.75)))
    np.testing.assert_array_equal(sealed.plane(SPECULAR_PLANE), sealed.specular)
    np.testing.assert_array_equal(sealed.plane(INDIRECT_PLANE), sealed.indirect)
    assert sealed.specular.mean() == pytest.approx(0.25 * 0.3, rel=0.01)
