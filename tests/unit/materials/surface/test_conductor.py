"""The reflectance of conductors towards grazing: what holds for any metal."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.surface.conductor import (
    NO_DIP,
    FresnelDip,
    approximate_fresnel,
    conductor_fresnel,
    hemispherical_reflectance,
)
from materials.surface.fresnel import fresnel, normal_reflectance
from materials.surface.metals import metal_dip, metal_reflectance, named_metals

COSINES = np.linspace(0, 1, 2001)
UNIT = st.floats(0, 1)


@given(st.floats(0.01, 1), st.floats(1.1, 3))
def test_a_conductor_that_absorbs_nothing_is_a_dielectric(cosine: float, index: float) -> None:
    assert conductor_fresnel(cosine, index) == pytest.approx(float(fresnel(cosine, index)), abs=1e-12)


@given(st.floats(0.1, 4), st.floats(0.1, 8))
def test_straight_on_and_at_grazing_the_reflectance_is_that_of_closed_forms(n: float, k: float) -> None:
    index = n + 1j * k
    assert conductor_fresnel(1.0, index) == pytest.approx(float(normal_reflectance(index)), abs=1e-12)
    assert conductor_fresnel(0.0, index) == pytest.approx(1.0, abs=1e-12)


@given(UNIT, UNIT)
def test_without_a_dip_it_rises_from_normal_incidence_to_one(normal: float, cosine: float) -> None:
    assert normal - 1e-12 <= approximate_fresnel(normal, cosine, NO_DIP) <= 1 + 1e-12
    assert approximate_fresnel(normal, 0.0, NO_DIP) == pytest.approx(1.0)


@given(UNIT, st.floats(-3, 3), st.floats(-3, 3))
def test_the_hemispherical_reflectance_is_the_integral(normal: float, offset: float, slope: float) -> None:
    dip = FresnelDip(offset, slope)
    expected = 2 * np.trapezoid(approximate_fresnel(normal, COSINES, dip) * COSINES, COSINES)
    assert hemispherical_reflectance(normal, dip) == pytest.approx(float(expected), abs=1e-5)


@pytest.mark.parametrize("name", named_metals())
def test_a_named_metal_reflects_within_0_and_1_at_every_angle_and_wavelength(name: str) -> None:
    values = approximate_fresnel(metal_reflectance(name), COSINES[:, None], metal_dip(name))
    assert values.min() > 0
    assert values.max() <= 1 + 1e-9


@pytest.mark.parametrize("name", named_metals())
def test_under_a_coat_no_angle_changes_the_reflectance_by_more_than_a_fortieth(name: str) -> None:
    """Refraction keeps light within 42 degrees of the normal there, where a metal's reflectance is still flat."""
    inside = np.sqrt(1 - (np.sin(np.radians([0.0, 45.0, 85.0])) / 1.5) ** 2)
    values = conductor_fresnel(inside[:, None], named_metals()[name].index / 1.5)
    assert np.ptp(values, axis=0).max() < 0.025
