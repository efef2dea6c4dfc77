"""The band basis: lamp spectra applied to band images, and the partition of unity."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.light.observer import COLOUR_MATCHING, WAVELENGTHS_NM
from materials.light.spectra import blackbody, xyz
from render.images.bands import BAND_COUNT, CENTRES_NM, RANGE_NM, band_basis, band_nodes, band_weights, xyz_weights

FLAT = np.ones(WAVELENGTHS_NM.size)


def test_the_bands_sum_to_one_at_every_wavelength() -> None:
    np.testing.assert_allclose(band_basis().sum(axis=0), 1, atol=1e-12)


def test_a_band_is_one_at_its_own_centre_and_nothing_at_the_others() -> None:
    at_centres = [np.interp(CENTRES_NM, *band_nodes(k)) for k in range(BAND_COUNT)]
    np.testing.assert_allclose(at_centres, np.eye(BAND_COUNT), atol=1e-12)


def test_a_band_reaches_no_farther_than_its_neighbours() -> None:
    basis = band_basis()
    for i in range(BAND_COUNT):
        for j in range(i + 2, BAND_COUNT):
            assert not (basis[i] * basis[j]).any()


def test_the_outer_bands_hold_to_the_ends_of_what_is_seen() -> None:
    assert band_basis()[0, 0] == 1
    assert band_basis()[-1, -1] == 1
    assert RANGE_NM[0] < WAVELENGTHS_NM[0]
    assert RANGE_NM[1] > WAVELENGTHS_NM[-1]


def test_the_weights_solve_the_normal_equations_of_the_least_squares_fit() -> None:
    bands, response = band_basis(), COLOUR_MATCHING * blackbody(3000)
    weights = band_weights(blackbody(3000), COLOUR_MATCHING)
    assert weights.shape == (3, BAND_COUNT)
    residual = response - weights @ bands
    # what is left over is orthogonal to every band
    np.testing.assert_allclose(residual @ bands.T, 0, atol=1e-9 * np.abs(response @ bands.T).max())


@pytest.mark.parametrize("kelvin", [2000, 4000, 6500])
def test_a_grey_scene_has_exactly_the_colour_of_its_lamp(kelvin: float) -> None:
    image = band_basis().sum(axis=1)  # a flat lamp on a grey scene, in bands
    np.testing.assert_allclose(xyz_weights(blackbody(kelvin)) @ image, xyz(blackbody(kelvin)), rtol=1e-9)


def test_a_flat_lamp_on_a_flat_scene_has_the_xyz_of_the_flat_spectrum() -> None:
    np.testing.assert_allclose(xyz_weights(FLAT) @ band_basis().sum(axis=1), xyz(FLAT), rtol=1e-9)


@given(st.lists(st.floats(0, 1), min_size=BAND_COUNT, max_size=BAND_COUNT))
def test_a_colour_made_of_bands_is_seen_exactly_under_any_lamp(amounts: list[float]) -> None:
    reflectance = np.array(amounts) @ band_basis()
    lamp = blackbody(4000)
    image = band_basis() @ reflectance  # what a flat lamp sends to each band
    np.testing.assert_allclose(xyz_weights(lamp) @ image, xyz(lamp * reflectance), rtol=1e-9, atol=1e-9)


def test_a_smooth_colour_between_the_bands_is_seen_within_a_thousandth() -> None:
    lamp = blackbody(4000)
    for middle in (450.0, 520.0, 610.0, 660.0):
        reflectance = 0.05 + 0.9 * np.exp(-(((WAVELENGTHS_NM - middle) / 60) ** 2))
        got, expected = xyz_weights(lamp) @ (band_basis() @ reflectance), xyz(lamp * reflectance)
        assert np.abs(got - expected).max() < 1e-3 * expected.max()


def test_twice_the_lamp_is_twice_the_weight_and_two_lamps_add() -> None:
    warm, cold = blackbody(2700), blackbody(6500)
    np.testing.assert_allclose(xyz_weights(2 * warm), 2 * xyz_weights(warm), rtol=1e-12)
    np.testing.assert_allclose(xyz_weights(warm + cold), xyz_weights(warm) + xyz_weights(cold), rtol=1e-9, atol=1e-9)
