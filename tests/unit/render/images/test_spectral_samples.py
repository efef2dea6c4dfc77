"""Band images become values at wavelengths, and these read back as the XYZ of the light."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Array
from materials.light.illuminants import illuminant, illuminant_names
from materials.light.led import white_led
from materials.light.observer import COLOUR_MATCHING, MAX_LUMINOUS_EFFICACY, WAVELENGTHS_NM
from materials.light.spectra import Spectrum, blackbody, xyz
from render.images.bands import BAND_COUNT, CENTRES_NM, band_basis, xyz_weights
from render.images.spectral_samples import (
    NODES_NM,
    SAMPLES_NM,
    STEP_NM,
    node_weights,
    node_xyz_weights,
    sample_weights,
    sampled,
)
from tests.support.reflectances.measured import colour_fidelity_samples

FLAT = np.ones(WAVELENGTHS_NM.size)
LAMPS = {
    "blackbody": blackbody(2700), "LED of Ra 80": white_led(6500, 80), "LED of Ra 95": white_led(2700, 95),
    "FL12": illuminant("FL12"), "two whites": blackbody(2700) + white_led(6500, 80),
}  # fmt: skip


def summed(samples: Array) -> Array:
    """Return the XYZ of samples (71, ...) by 5 nm, as CIE 15 sums them."""
    values: Array = STEP_NM * MAX_LUMINOUS_EFFICACY * COLOUR_MATCHING[:, ::STEP_NM] @ samples
    return values


def test_a_spectrum_is_sampled_from_end_to_end_of_the_grid_by_5_nm() -> None:
    np.testing.assert_array_equal(SAMPLES_NM, np.arange(380, 731, 5))


@pytest.mark.parametrize("spectrum", [FLAT, blackbody(2700), blackbody(6500)], ids=["flat", "2700 K", "6500 K"])
def test_a_smooth_spectrum_has_its_own_values_for_samples(spectrum: Spectrum) -> None:
    np.testing.assert_allclose(sampled(spectrum), spectrum[::STEP_NM], rtol=1e-3)


@pytest.mark.parametrize("name", illuminant_names())
def test_samples_have_the_xyz_of_the_spectrum_that_of_fluorescent_lines_too(name: str) -> None:
    lamp = illuminant(name)
    np.testing.assert_allclose(summed(sampled(lamp)), xyz(lamp), rtol=1e-3)


@pytest.mark.parametrize("lamp", LAMPS.values(), ids=LAMPS)
def test_samples_of_a_measured_colour_under_a_lamp_have_the_xyz_of_its_picture(lamp: Spectrum) -> None:
    images = band_basis() @ colour_fidelity_samples().T  # what a flat lamp sends to each band
    np.testing.assert_allclose(summed(sample_weights(lamp) @ images), xyz_weights(lamp) @ images, rtol=1e-3)


def test_a_grey_card_under_a_flat_lamp_comes_out_flat() -> None:
    grey = band_basis() @ (0.18 * FLAT)
    np.testing.assert_allclose(node_weights() @ grey, 0.18, rtol=1e-9)
    np.testing.assert_allclose(sample_weights(FLAT) @ grey, 0.18, rtol=1e-9)
    assert np.ptp(grey) > 0.5 * grey.mean()  # the bands' own integrals are not


def test_a_spectrum_of_straight_lines_between_the_band_centres_comes_out_as_it_is() -> None:
    values = np.random.default_rng(1).random(BAND_COUNT)
    spectrum = values @ band_basis()
    np.testing.assert_allclose(node_weights() @ (band_basis() @ spectrum), np.interp(NODES_NM, CENTRES_NM, values))


@pytest.mark.parametrize("lamp", LAMPS.values(), ids=LAMPS)
def test_values_at_the_band_centres_times_the_lamp_have_the_xyz_of_its_picture(lamp: Spectrum) -> None:
    images = band_basis() @ colour_fidelity_samples().T
    through = node_xyz_weights(lamp) @ node_weights()
    np.testing.assert_allclose(through @ images, xyz_weights(lamp) @ images, rtol=1e-9)
