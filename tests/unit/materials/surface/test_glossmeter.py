"""The glossmeter: against a second method, and its limits."""

from __future__ import annotations

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.surface.coherence import coherent_fraction, scattered_fraction
from materials.surface.energy import COSINES, diffuse_coupling, directional_albedo
from materials.surface.fresnel import fresnel
from materials.surface.glossmeter import (
    RECEPTORS,
    SOURCE,
    gloss_units,
    paint_roughness_from_gloss,
    roughness_from_gloss,
)


def traced_gloss(roughness: float, degrees: float, rays: int) -> tuple[float, float]:
    """Return gloss units and their standard error from rays mirrored by facets drawn at random, and as a whole."""
    random = np.random.default_rng(1)
    angle = np.radians(degrees)
    polar = angle + np.radians(SOURCE.in_plane_deg) * (random.random(rays) - 0.5)
    across = np.radians(SOURCE.across_deg) * (random.random(rays) - 0.5)
    incoming = np.stack([-np.sin(polar) * np.cos(across), np.sin(across), np.cos(polar) * np.cos(across)])
    # GGX facet normals by inversion (Walter and others 2007, equation 35)
    u = random.random(rays)
    slope, round_ = roughness * np.sqrt(u / (1 - u)), 2 * np.pi * random.random(rays)
    half = np.stack([slope * np.cos(round_), slope * np.sin(round_), np.ones(rays)])
    half /= np.linalg.norm(half, axis=0)
    cosine = (incoming * half).sum(axis=0)
    outgoing = 2 * cosine * half - incoming
    in_plane = np.degrees(np.arctan2(outgoing[0], outgoing[2])) - degrees
    out_of_plane = np.degrees(np.arcsin(outgoing[1]))
    receptor = RECEPTORS[degrees]
    seen = (abs(in_plane) < receptor.in_plane_deg / 2) & (abs(out_of_plane) < receptor.across_deg / 2)
    shadowing = 4 / np.prod([1 + np.sqrt(1 + roughness**2 * (1 / w[2] ** 2 - 1)) for w in (incoming, outgoing)], axis=0)
    shadowing *= scattered_fraction(incoming[2], np.maximum(outgoing[2], 0), roughness)
    weight = np.where(seen, fresnel(abs(cosine), 1.5) * shadowing * cosine / (incoming[2] * half[2]), 0)
    weight += fresnel(incoming[2], 1.5) * coherent_fraction(incoming[2], roughness)  # the source's image lies in it
    scale = 100 / float(fresnel(np.cos(angle), 1.567))
    return scale * float(weight.mean()), scale * float(weight.std()) / np.sqrt(rays)


@pytest.mark.parametrize("roughness", [0.003, 0.02, 0.1, 0.3])
@pytest.mark.parametrize("degrees", [20.0, 60.0, 85.0])
def test_the_integral_agrees_with_rays_drawn_at_random(roughness: float, degrees: float) -> None:
    expected, error = traced_gloss(roughness, degrees, 400_000)
    # 0.02 GU: the standard is the mean over the source here, the axis alone there
    assert gloss_units(roughness, 1.5, degrees) == pytest.approx(expected, abs=4 * error + 0.02)


@settings(deadline=None, max_examples=25)
@given(st.floats(0.11, 89.0))
def test_a_roughness_reads_the_gloss_that_it_was_asked_for(gloss: float) -> None:
    assert gloss_units(roughness_from_gloss(gloss)) == pytest.approx(gloss, abs=1e-6)


@pytest.mark.parametrize("degrees", [20.0, 60.0, 85.0])
def test_gloss_falls_with_every_step_of_roughness(degrees: float) -> None:
    steps = [0.0, *np.geomspace(1e-4, 1, 40)]
    readings = [gloss_units(float(r), 1.5, degrees) for r in steps]
    assert np.all(np.diff(readings) < 0)


def test_a_denser_surface_shines_more() -> None:
    readings = [gloss_units(0.05, n) for n in (1.3, 1.5, 1.7)]
    assert readings == sorted(readings)
    assert readings[2] > readings[0] + 10


def test_the_shiniest_coat_is_smooth() -> None:
    assert roughness_from_gloss(gloss_units(0.0)) == 0.0


def test_finding_a_roughness_takes_less_than_a_fifth_of_a_second() -> None:
    gloss_units.cache_clear()
    roughness_from_gloss.cache_clear()
    start = time.process_time()
    roughness_from_gloss(33.3)
    assert time.process_time() - start < 0.2


def test_equal_questions_have_bit_equal_answers() -> None:
    first = roughness_from_gloss(42.0)
    gloss_units.cache_clear()
    roughness_from_gloss.cache_clear()
    assert roughness_from_gloss(42.0) == first


def test_more_gloss_than_a_smooth_surface_has_is_refused_with_the_limit() -> None:
    with pytest.raises(ValueError, match=r"smooth surface of index 1\.5 has 89\.1"):
        roughness_from_gloss(90)


@pytest.mark.parametrize("gloss", [0.0, -5.0, float("nan")])
def test_gloss_has_to_be_above_nothing(gloss: float) -> None:
    with pytest.raises(ValueError, match="above 0 gloss units"):
        roughness_from_gloss(gloss)


def test_less_gloss_than_the_roughest_surface_has_is_refused() -> None:
    with pytest.raises(ValueError, match=r"roughest surface here has 0\.10"):
        roughness_from_gloss(0.01)


@pytest.mark.parametrize("roughness", [-0.1, 1.1, float("nan")])
def test_roughness_lies_between_0_and_1(roughness: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        gloss_units(roughness)


@pytest.mark.parametrize("index", [1.0, 0.5, float("nan"), float("inf")])
def test_an_index_lies_above_1(index: float) -> None:
    for function in (gloss_units, roughness_from_gloss):
        with pytest.raises(ValueError, match="index lies above 1"):
            function(0.5, index)


@settings(deadline=None, max_examples=12)
@given(st.floats(5, 85), st.floats(0, 1))
def test_paint_reads_the_gloss_that_it_was_asked_for_with_its_own_body(gloss: float, base: float) -> None:
    assert gloss_units(paint_roughness_from_gloss(gloss, base), base=base) == pytest.approx(gloss, abs=1e-6)


def test_over_black_paint_is_as_the_coat_alone() -> None:
    assert paint_roughness_from_gloss(27.0, 0.0) == roughness_from_gloss(27.0)


def test_less_gloss_than_a_white_body_gives_takes_the_roughest_surface_and_is_out_by_no_more_than_the_body() -> None:
    assert paint_roughness_from_gloss(0.5, 0.9) == 1.0
    assert gloss_units(1.0, base=0.9) == pytest.approx(2.15, abs=0.01)


@pytest.mark.parametrize("degrees", [20.0, 60.0, 85.0])
@pytest.mark.parametrize("roughness", [0.0, 0.1, 0.4, 1.0])
def test_a_body_adds_nearly_what_the_surface_that_keeps_all_energy_lets_out(degrees: float, roughness: float) -> None:
    cosine = float(np.cos(np.radians(degrees)))
    through = float(np.interp(cosine, COSINES, diffuse_coupling(directional_albedo(roughness, 1.5))))
    in_plane, across = np.radians(RECEPTORS[degrees])
    expected = 100 * through**2 * cosine / np.pi * in_plane * across / float(fresnel(cosine, 1.567))
    added = gloss_units(roughness, 1.5, degrees, base=1.0) - gloss_units(roughness, 1.5, degrees)
    assert added == pytest.approx(expected, abs=0.16)


@pytest.mark.parametrize("base", [-0.1, 1.1, float("nan")])
def test_a_base_lies_between_0_and_1(base: float) -> None:
    with pytest.raises(ValueError, match="reflectance lies between 0 and 1"):
        gloss_units(0.1, base=base)


def test_a_glossmeter_has_three_angles() -> None:
    with pytest.raises(ValueError, match="20, 60 or 85 degrees, not 45"):
        gloss_units(0.1, 1.5, 45)
