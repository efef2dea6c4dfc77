"""Spectra: scaling, sums and the colour temperature of what has one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.light.observer import COLOUR_MATCHING, D65, D65_XYZ, WAVELENGTHS_NM, XYZ_TO_LINEAR_SRGB
from materials.light.spectra import (
    KELVIN_RANGE,
    blackbody,
    cct_duv,
    chromaticity_xy,
    luminous,
    luminous_efficacy,
    planck,
    xyz,
)

kelvins = st.floats(1010, 24000)


def test_the_grid_is_380_to_730_nm_by_1() -> None:
    assert np.array_equal(WAVELENGTHS_NM, np.arange(380, 731))
    assert COLOUR_MATCHING.shape == (3, 351)
    assert D65.shape == (351,)


@pytest.mark.parametrize("array", [WAVELENGTHS_NM, COLOUR_MATCHING, D65, D65_XYZ, XYZ_TO_LINEAR_SRGB])
def test_constants_cannot_be_written_to(array: np.ndarray) -> None:
    with pytest.raises(ValueError, match="read-only"):
        array[...] = 0


def test_d65_is_the_white_of_srgb() -> None:
    assert pytest.approx([1, 1, 1], abs=1e-12) == XYZ_TO_LINEAR_SRGB @ D65_XYZ


def test_the_srgb_matrix_is_that_of_the_standard_but_for_the_sums_of_its_white() -> None:
    # IEC 61966-2-1, four decimals
    standard = [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
    assert pytest.approx(np.array(standard), abs=1e-3) == XYZ_TO_LINEAR_SRGB


@given(kelvins)
def test_a_blackbody_gives_one_lumen(kelvin: float) -> None:
    assert luminous(blackbody(kelvin)) == pytest.approx(1, rel=1e-14)


@given(kelvins)
def test_the_colour_temperature_of_a_blackbody_is_its_temperature(kelvin: float) -> None:
    got, duv = cct_duv(blackbody(kelvin))
    assert got == pytest.approx(kelvin, abs=1e-3)
    assert duv == pytest.approx(0, abs=1e-9)


@given(kelvins, st.floats(1e-6, 1e6))
def test_chromaticity_does_not_depend_on_power(kelvin: float, power: float) -> None:
    spectrum = blackbody(kelvin)
    assert chromaticity_xy(power * spectrum) == pytest.approx(chromaticity_xy(spectrum), rel=1e-12)


@given(kelvins, kelvins)
def test_tristimulus_values_add(one: float, other: float) -> None:
    both = blackbody(one) + blackbody(other)
    assert xyz(both) == pytest.approx(xyz(blackbody(one)) + xyz(blackbody(other)), rel=1e-12)
    assert xyz(both)[1] == pytest.approx(luminous(both), rel=1e-12)


def test_a_nanowatt_at_555_nm_is_683_nanolumen() -> None:
    line = np.where(WAVELENGTHS_NM == 555, 1e-9, 0.0)
    assert luminous(line) == pytest.approx(683.002e-9, rel=1e-12)


def test_a_whole_blackbody_radiates_what_stefan_and_boltzmann_say() -> None:
    nm = np.arange(100.0, 200_000.0, 1.0)
    total = np.pi * float(planck(3000, nm).sum())
    assert luminous_efficacy(3000) == pytest.approx(np.pi * luminous(planck(3000)) / total, rel=1e-4)


def test_green_light_lies_above_the_locus_and_pink_below() -> None:
    green = np.exp(-(((WAVELENGTHS_NM - 545) / 45) ** 2))
    assert cct_duv(blackbody(4000) * (1 + 0.3 * green))[1] > 0.005
    assert cct_duv(blackbody(4000) * (1 - 0.3 * green))[1] < -0.005


@pytest.mark.parametrize("kelvin", [0, 999.9, 25000.1, float("nan"), float("inf")])
def test_a_temperature_outside_the_range_is_refused(kelvin: float) -> None:
    for function in (blackbody, luminous_efficacy):
        with pytest.raises(ValueError, match="outside the 1000 to 25000 K"):
            function(kelvin)


@pytest.mark.parametrize("kelvin", [0, -1, float("nan"), float("inf")])
def test_planck_refuses_what_is_no_temperature(kelvin: float) -> None:
    with pytest.raises(ValueError, match="positive number of kelvin"):
        planck(kelvin)


def test_the_ends_of_the_range_have_a_blackbody() -> None:
    for kelvin in KELVIN_RANGE:
        assert np.isfinite(blackbody(kelvin)).all()


@pytest.mark.parametrize("nm", [400, 450, 480])
def test_a_blue_line_has_no_colour_temperature(nm: int) -> None:
    with pytest.raises(ValueError, match="no correlated colour temperature"):
        cct_duv(np.where(nm == WAVELENGTHS_NM, 1.0, 0.0))


def test_darkness_has_no_chromaticity() -> None:
    with pytest.raises(ValueError, match="without visible light"):
        chromaticity_xy(np.zeros(351))
