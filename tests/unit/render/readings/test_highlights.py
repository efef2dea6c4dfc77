"""Shine and texture contrast of small images with known answers."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Image
from render.readings.highlights import (
    highlight_percent,
    lightness_steps,
    shine_lightness,
    texture_contrast_stops,
)

ALL = np.ones((40, 50), bool)
NOTHING = np.zeros_like(ALL)
EVEN = np.ones((40, 50), np.float32)


def read(body: Image, specular: Image) -> tuple[float, float]:
    """Return the shine of a picture and the percentage in highlights."""
    steps = lightness_steps(body + specular, specular, ALL)
    shine, percent = shine_lightness(steps), highlight_percent(steps)
    assert shine is not None
    assert percent is not None
    return shine, percent


def spots(value: float) -> Image:
    """Return specular light in a spot of a hundredth of the picture."""
    light = np.zeros((40, 50), np.float32)
    light[20:24, 20:25] = value
    return light


def test_without_a_subject_or_without_light_there_is_nothing_to_read() -> None:
    for subject, light in ((NOTHING, 0.5), (ALL, 0.0)):
        steps = lightness_steps(light * EVEN, 0 * EVEN, subject)
        assert shine_lightness(steps) is highlight_percent(steps) is None
        assert texture_contrast_stops(light * EVEN, subject) is None


def test_paint_shading_and_an_even_veil_are_no_shine() -> None:
    body = np.where(np.arange(50) < 10, 0.9, 0.02).astype(np.float32) * EVEN
    assert read(body, 0 * EVEN) == (0, 0)
    assert read(0.3 * EVEN, 0.2 * EVEN) == pytest.approx((0, 0), abs=1e-4)


def test_a_spot_that_mirrors_a_lamp_counts_by_its_lightness_and_its_area() -> None:
    """A lone pixel, 7.7 of lightness over dark grey: its surround takes hardly any of it, so it stands out by all."""
    light = np.zeros((400, 500), np.float32)
    light[200, 200] = 0.04
    steps = lightness_steps(0.05 + light, light, np.ones_like(light, bool))
    whole = 116 * (np.cbrt(0.09) - np.cbrt(0.05))
    assert steps is not None
    assert steps.max() == pytest.approx(whole, rel=0.01)
    assert shine_lightness(steps) == pytest.approx(whole / np.sqrt(light.size), rel=0.02)
    assert highlight_percent(steps) == 0
    brighter = lightness_steps(0.05 + 3 * light, 3 * light, np.ones_like(light, bool))
    assert highlight_percent(brighter) == pytest.approx(100 / light.size)


def test_the_same_spot_shines_more_on_dark_paint_and_not_at_all_where_all_is_white() -> None:
    dark, pale, white = (read(body * EVEN, spots(0.2))[0] for body in (0.02, 0.5, 1.0))
    assert dark > 2 * pale > white == 0


def test_the_same_light_spread_wider_shines_less() -> None:
    wide = np.zeros((40, 50), np.float32)
    wide[10:34, 10:40] = 0.2 * 20 / (24 * 30)
    assert read(0.05 * EVEN, wide)[0] < 0.3 * read(0.05 * EVEN, spots(0.2))[0]


def test_even_light_and_a_slow_gradient_have_no_texture() -> None:
    assert texture_contrast_stops(np.full((40, 50), 0.2, np.float32), ALL) == pytest.approx(0, abs=1e-5)
    slow = np.broadcast_to(np.exp2(np.linspace(-2, -1, 50, dtype=np.float32)), (40, 50))
    assert (texture_contrast_stops(slow, ALL) or 0) < 0.03


def test_lines_a_stop_apart_have_half_a_stop_of_rms_contrast() -> None:
    lines = np.broadcast_to(np.where(np.arange(50) % 2 == 0, 0.2, 0.4).astype(np.float32), (40, 50))
    assert texture_contrast_stops(lines, ALL) == pytest.approx(0.5, abs=0.01)


def test_texture_is_read_inside_its_region_and_lost_where_all_clips_or_is_black() -> None:
    lines = np.broadcast_to(np.where(np.arange(50) % 2 == 0, 0.2, 0.4).astype(np.float32), (40, 50)).copy()
    region = ALL.copy()
    region[:, 25:] = False
    apart = lines.copy()
    apart[:, 25:] = 1e-4
    assert texture_contrast_stops(apart, region) == pytest.approx(texture_contrast_stops(lines, region))
    assert texture_contrast_stops(lines * np.float32(10), ALL) == 0
    dark = lines * np.float32(1e-3)
    dark[:4] = 0.5
    assert texture_contrast_stops(dark, ~np.isin(np.indices(ALL.shape)[0], range(2, 40))) == 0
    below = dark.copy()
    below[4:] = 0
    assert texture_contrast_stops(dark, ALL) == pytest.approx(texture_contrast_stops(below, ALL))


def test_a_subject_reads_the_same_bit_for_bit_however_much_frame_is_round_it() -> None:
    """Only what a Gaussian reaches about the subject is worked on."""
    generator = np.random.default_rng(3)
    light, specular = (generator.uniform(0, high, (120, 150)).astype(np.float32) for high in (1.2, 0.3))
    subject = np.zeros(light.shape, bool)
    subject[50:70, 60:90] = generator.uniform(size=(20, 30)) < 0.8
    near = np.s_[10:110, 15:135]
    whole, cut = (lightness_steps(light[part], specular[part], subject[part]) for part in (np.s_[:], near))
    assert whole is not None
    np.testing.assert_array_equal(whole, cut)
    assert texture_contrast_stops(light, subject) == texture_contrast_stops(light[near], subject[near])
