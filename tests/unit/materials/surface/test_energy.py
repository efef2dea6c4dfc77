"""Energy at rough surfaces: what facets send on at once, and what is given back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad

from materials.surface.coherence import coherent_fraction, scattered_fraction
from materials.surface.conductor import NO_DIP
from materials.surface.energy import (
    COSINES,
    diffuse_coupling,
    directional_albedo,
    hemispherical_albedo,
    multiple_scattering_tint,
)
from materials.surface.fresnel import fresnel

ROUGHNESS = st.floats(0, 1)


def integrated(cosine: float, alpha: float, index: float | None) -> float:
    """Return the albedo by adaptive quadrature of D G F / (4 cos i) over the hemisphere of outgoing directions.

    Of a dielectric it is what is scattered, and the mirror image beside it.
    """
    back = np.array([np.sqrt(1 - cosine**2), 0.0, cosine])

    def unshadowed(z: float) -> float:
        return float(2 / (1 + np.sqrt(1 + alpha**2 * (1 / z**2 - 1))))

    def sent(turn: float, z: float) -> float:
        out = np.array([np.sqrt(1 - z * z) * np.cos(turn), np.sqrt(1 - z * z) * np.sin(turn), z])
        half = (back + out) / np.linalg.norm(back + out)
        facets = alpha**2 / (np.pi * (1 + (alpha**2 - 1) * half[2] ** 2) ** 2)
        reflected = 1.0
        if index is not None:
            reflected = float(fresnel(half @ back, index) * scattered_fraction(cosine, z, alpha))
        return float(facets * unshadowed(cosine) * unshadowed(z) * reflected / (4 * cosine))

    mirrored = 0.0 if index is None else float(fresnel(cosine, index) * coherent_fraction(cosine, alpha))
    return mirrored + 2 * float(dblquad(sent, 1e-9, 1, 0, np.pi, epsabs=1e-6, epsrel=1e-6)[0])


@pytest.mark.parametrize("index", [None, 1.5])
@pytest.mark.parametrize(("alpha", "place"), [(0.2, 127), (0.2, 40), (0.2, 8), (0.5, 80), (1.0, 127), (1.0, 20)])
def test_the_albedo_is_the_integral_of_the_facets_light(alpha: float, place: int, index: float | None) -> None:
    expected = integrated(float(COSINES[place]), alpha, index)
    assert directional_albedo(alpha, index)[place] == pytest.approx(expected, abs=3e-4)


@given(ROUGHNESS, st.none() | st.floats(1.2, 2.5))
@settings(max_examples=30, deadline=None)
def test_no_facets_send_on_more_than_arrives(roughness: float, index: float | None) -> None:
    albedo = directional_albedo(roughness, index)
    assert albedo.min() > 0
    assert albedo.max() <= 1


@given(ROUGHNESS, st.none() | st.floats(1.2, 2.5))
@settings(max_examples=30, deadline=None)
def test_both_lobes_together_send_on_all_light(roughness: float, index: float | None) -> None:
    albedo = directional_albedo(roughness, index)
    through = diffuse_coupling(albedo)
    # linear between the nodes, as the kernel looks it up
    fine = np.linspace(0, 1, 20001)
    back = 2 * np.trapezoid(np.interp(fine, COSINES, through) * fine, fine)
    np.testing.assert_allclose(albedo + through * back, 1.0, atol=1e-5)


def test_a_smooth_dielectric_has_the_albedo_of_fresnel() -> None:
    np.testing.assert_allclose(directional_albedo(0.0, 1.5)[16:], fresnel(COSINES[16:], 1.5), atol=2e-4)


def test_the_mean_of_a_constant_is_the_constant_and_of_the_cosine_two_thirds() -> None:
    assert hemispherical_albedo(np.full(COSINES.size, 0.3)) == pytest.approx(0.3, abs=1e-12)
    assert hemispherical_albedo(np.asarray(COSINES)) == pytest.approx(2 / 3, abs=1e-12)


def test_a_white_metal_loses_nothing_late_and_a_grey_one_more_than_once() -> None:
    np.testing.assert_allclose(multiple_scattering_tint(np.ones(351), 0.7, NO_DIP), 1.0)
    grey = multiple_scattering_tint(np.full(351, 0.5), 0.7, NO_DIP)
    assert np.all(grey < 0.5**2)


@pytest.mark.parametrize("roughness", [-0.1, 1.1, float("nan")])
def test_facets_of_no_roughness_are_refused(roughness: float) -> None:
    with pytest.raises(ValueError, match="roughness lies between 0 and 1"):
        directional_albedo(roughness)
