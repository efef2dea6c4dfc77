"""Lamp images: light is additive, so dimmers and spectra are applied after tracing."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from materials.light.spectra import blackbody, xyz
from render.images.bands import BAND_COUNT, INDIRECT_PLANE, PLANE_COUNT, SPECULAR_PLANE, band_basis
from render.images.lamp_images import LitLamp, lamp_xyz, scene_xyz
from render.images.passes.pass_sums import PassSums
from tests.support.light import lamp_image

SHAPE = (BAND_COUNT, 5, 7)


def traced(number: int) -> NDArray[np.float32]:
    return np.random.default_rng(number).random(SHAPE, dtype=np.float32)


def image(first: int, passes: int = 4) -> PassSums:
    return lamp_image(*(traced(number) for number in range(first, first + passes)))


def test_even_passes_go_to_one_half_and_odd_ones_to_the_other() -> None:
    five = image(0, 5)
    assert five.passes == 5
    np.testing.assert_allclose(five.even, traced(0) + traced(2) + traced(4), rtol=1e-6)
    np.testing.assert_allclose(five.odd, traced(1) + traced(3), rtol=1e-6)


@pytest.mark.parametrize("passes", [1, 2, 5])
def test_the_mean_is_that_of_all_passes(passes: int) -> None:
    expected = np.mean([traced(number) for number in range(passes)], axis=0)
    np.testing.assert_allclose(image(0, passes).mean, expected, rtol=1e-6)


def test_the_parts_are_the_mean_over_passes_of_their_planes() -> None:
    passes = np.random.default_rng(0).random((3, PLANE_COUNT, 5, 7), dtype=np.float32)
    of_three = lamp_image(*passes.copy())
    np.testing.assert_allclose(of_three.specular, passes[:, SPECULAR_PLANE].mean(axis=0), rtol=1e-6)
    np.testing.assert_allclose(of_three.indirect, passes[:, INDIRECT_PLANE].mean(axis=0), rtol=1e-6)
    assert of_three.mean.shape == SHAPE


def test_the_first_pass_alone_is_its_own_mean() -> None:
    np.testing.assert_array_equal(lamp_image(traced(0)).mean, traced(0))


def test_what_an_image_grew_from_stays_as_it_was() -> None:
    two = image(0, 2)
    before = two.even.copy(), two.odd.copy()
    grown = two.with_passes(2, traced(2)).with_passes(3, traced(3))
    assert (two.passes, grown.passes) == (2, 4)
    np.testing.assert_array_equal((two.even, two.odd), before)


def test_all_lamps_together_are_the_sum_of_each_alone() -> None:
    lamps = [LitLamp(image(10 * i), blackbody(kelvin) * 1e-3) for i, kelvin in enumerate((2700, 4000, 6500))]
    lights = [lamp_xyz(lamp) for lamp in lamps]
    together, alone = scene_xyz(lights), np.sum(lights, axis=0)
    np.testing.assert_allclose(together, alone, rtol=2e-6)


def test_no_lamp_is_changed_by_being_summed() -> None:
    lamps = [LitLamp(image(0), blackbody(4000)), LitLamp(image(10), blackbody(4000))]
    first = lamp_xyz(lamps[0]).copy()
    scene_xyz([lamp_xyz(lamp) for lamp in lamps])
    np.testing.assert_array_equal(lamp_xyz(lamps[0]), first)


@pytest.mark.parametrize("dimmer", [0.5, 0.25, 2.0**-7])
def test_half_the_dimmer_is_exactly_half_the_light(dimmer: float) -> None:
    full = lamp_xyz(LitLamp(image(0), blackbody(4000)))
    np.testing.assert_array_equal(lamp_xyz(LitLamp(image(0), blackbody(4000) * dimmer)), full * np.float32(dimmer))


@pytest.mark.parametrize("dimmer", [0.1, 0.3, 0.77])
def test_any_dimmer_scales_the_light(dimmer: float) -> None:
    full = lamp_xyz(LitLamp(image(0), blackbody(4000)))
    np.testing.assert_allclose(lamp_xyz(LitLamp(image(0), blackbody(4000) * dimmer)), full * dimmer, rtol=1e-6)


def test_a_lamp_that_is_off_gives_nothing() -> None:
    assert not lamp_xyz(LitLamp(image(0), blackbody(4000) * 0.0)).any()


@pytest.mark.parametrize("kelvin", [2000, 4000, 6500])
def test_a_grey_pixel_has_the_lamps_colour_at_its_share_of_the_radiance(kelvin: float) -> None:
    share = np.linspace(0, 1, 35).reshape(5, 7)
    grey = (band_basis().sum(axis=1)[:, None, None] * share).astype(np.float32)
    got = lamp_xyz(LitLamp(lamp_image(grey), blackbody(kelvin)))
    np.testing.assert_allclose(got, share[..., None] * xyz(blackbody(kelvin)), rtol=2e-5)
