"""Roughness widened over a path's footprint: by how much, and that a camera's ray, which has none, keeps it."""

from __future__ import annotations

from dataclasses import fields
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from render.kernel.backend import mitsuba
from render.kernel.paths.footprint import FIRST_SAMPLES, WIDENING, WIDEST_ALPHA, with_footprint
from render.kernel.surfaces.bsdf import Bsdf

LAMBERTIAN_PDF = 1 / np.pi
SMOOTH, SATIN, ROUGH = 0.001, 0.05, 0.5


def widened_alphas(pdf: float, sample: int) -> list[float]:
    """Return the roughness of a satin coat, its mirror image and rough flakes below, where a path meets them."""
    mi: Any = mitsuba()
    alphas = {"alpha": mi.Float(SATIN), "mirror_alpha": SMOOTH, "body_alpha": mi.Float(ROUGH)}
    values: dict[str, Any] = {field.name: mi.Float(0.0) for field in fields(Bsdf)}
    bsdf = Bsdf(**values | alphas)
    sampler = SimpleNamespace(index=mi.UInt32(sample))
    path: Any = SimpleNamespace(sampler=sampler, last_scattering=SimpleNamespace(pdf=mi.Float(pdf)))
    wide = with_footprint(bsdf, path)
    return [float(value[0]) for value in (wide.alpha, wide.mirror_alpha, wide.body_alpha)]


@pytest.mark.parametrize("sample", [0, 100])
def test_what_the_camera_sees_directly_keeps_its_roughness(sample: int) -> None:
    assert widened_alphas(np.inf, sample) == pytest.approx([SATIN, SMOOTH, ROUGH], rel=1e-6)


def test_after_a_matt_surface_facets_are_rougher_by_the_footprint() -> None:
    added = WIDENING / LAMBERTIAN_PDF
    expected = [np.sqrt(SATIN**2 + added), np.sqrt(SMOOTH**2 + added), ROUGH]
    assert widened_alphas(LAMBERTIAN_PDF, 0) == pytest.approx(expected, rel=1e-6)


def test_the_image_of_a_lamp_in_gloss_that_gloss_shows_stays_sharp() -> None:
    mirrored = 1 / (4 * np.pi * 0.01**2)  # the density of a lobe of alpha .01
    assert widened_alphas(mirrored, 0)[1] < 0.004


def test_the_widening_vanishes_as_samples_grow() -> None:
    widths = [widened_alphas(LAMBERTIAN_PDF, sample)[1] ** 2 - SMOOTH**2 for sample in (0, FIRST_SAMPLES, 2**17)]
    assert widths[1] == pytest.approx(widths[0] / 4, rel=1e-3)
    assert widths[2] < 1e-8


def test_no_facets_are_widened_beyond_the_widest() -> None:
    assert widened_alphas(1e-6, 0) == pytest.approx([WIDEST_ALPHA, WIDEST_ALPHA, ROUGH], rel=1e-6)
