"""Spectra: scaling, sums and photometric values."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import Stefan_Boltzmann

from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import (
    KELVIN_RANGE,
    blackbody,
    chromaticity_xy,
    luminous_efficacy_of_radiation,
    photometric_value,
    planck,
    xyz,
)

kelvins = st.floats(1010, 24000)


@given(kelvins)
def test_a_blackbody_gives_one_lumen(kelvin: float) -> None:
    assert photometric_value(blackbody(kelvin)) == pytest.approx(1, rel=1e-14)


@given(kelvins, st.floats(1e-6, 1e6))
def test_chromaticity_does_not_depend_on_power(kelvin: float, power: float) -> None:
    spectrum = blackbody(kelvin)
    assert chromaticity_xy(power * spectrum) == pytest.approx(chromaticity_xy(spectrum), rel=1e-12)


@given(kelvins, kelvins)
def test_tristimulus_values_add(one: float, other: float) -> None:
    both = blackbody(one) + blackbody(other)
    assert xyz(both) == pytest.approx(xyz(blackbody(one)) + xyz(blackbody(other)), rel=1e-12)
    assert xyz(both)[1] == pytest.approx(photometric_value(both), rel=1e-12)


def test_a_nanowatt_at_555_nm_is_683_nanolumen() -> None:
    line = np.where(WAVELENGTHS_NM == 555, 1e-9, 0.0)
    assert photometric_value(line) == pytest.approx(683.002e-9, rel=1e-12)


def test_a_whole_blackbody_radiates_what_stefan_and_boltzmann_say() -> None:
    nm = np.arange(100.0, 200_000.0, 1.0)
    total = np.pi * float(planck(3000, nm).sum())
    assert total == pytest.approx(Stefan_Boltzmann * 3000**4, rel=1e-4)


@pytest.mark.parametrize("kelvin", [0, 999.9, 25000.1, float("nan"), float("inf")])
def test_a_temperature_outside_the_range_is_refused(kelvin: float) -> None:
    with pytest.raises(ValueError, match="outside the 1000 to 25000 K"):
        blackbody(kelvin)


@pytest.mark.parametrize("kelvin", [0, -1, float("nan"), float("inf")])
def test_planck_refuses_what_is_no_temperature(kelvin: float) -> None:
    with pytest.raises(ValueError, match="positive number of kelvin"):
        planck(kelvin)


def test_the_ends_of_the_range_have_a_blackbody() -> None:
    for kelvin in KELVIN_RANGE:
        assert np.isfinite(blackbody(kelvin)).all()


def test_darkness_has_no_chromaticity() -> None:
    with pytest.raises(ValueError, match="without visible light"):
        chromaticity_xy(np.zeros(351))


def test_a_watt_at_555_nm_is_683_lumens() -> None:
    line = np.where(WAVELENGTHS_NM == 555, 2e-9, 0.0)
    assert luminous_efficacy_of_radiation(line) == pytest.approx(683.002, rel=1e-12)


def test_darkness_has_no_lumens_per_watt() -> None:
    with pytest.raises(ValueError, match="without light"):
        luminous_efficacy_of_radiation(np.zeros(351))
