"""Highlights and texture contrast of small images with known answers."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Image
from render.readings.highlights import (
    SURFACE_REFLECTANCE,
    highlight_peak_stops,
    highlight_percent,
    stops_over_body,
    texture_contrast_stops,
)

ALL = np.ones((40, 50), bool)
NOTHING = np.zeros_like(ALL)


def painted(base: float | Image) -> Image:
    return np.broadcast_to(np.asarray(base, np.float32)[..., None], (40, 50, 3)).astype(np.float32)


def body(base: float | Image, light: float = 1.0) -> Image:
    """Return the luminance of dull paint in even light."""
    return np.asarray(light * (base + SURFACE_REFLECTANCE * (1 - np.asarray(base, np.float32)))) * np.ones(
        (40, 50), np.float32
    )


def read(luminance: Image, albedo: Image) -> tuple[float, float]:
    over = stops_over_body(luminance, albedo, ALL)
    percent, peak = highlight_percent(over), highlight_peak_stops(over)
    assert percent is not None
    assert peak is not None
    return percent, peak


def test_without_a_subject_or_without_light_there_is_nothing_to_read() -> None:
    for subject, light in ((NOTHING, 1.0), (ALL, 0.0)):
        over = stops_over_body(body(0.5, light), painted(0.5), subject)
        assert highlight_percent(over) is highlight_peak_stops(over) is None
        assert texture_contrast_stops(body(0.5, light), subject) is None


def test_a_pale_part_beside_a_dark_one_is_no_highlight() -> None:
    base = np.where(np.arange(50) < 10, 0.9, 0.02).astype(np.float32) * np.ones((40, 1), np.float32)
    percent, peak = read(body(base), painted(base))
    assert percent == 0
    assert peak == pytest.approx(0, abs=1e-4)


def test_what_is_lit_beside_a_shadow_is_no_highlight() -> None:
    luminance = body(0.5)
    luminance[:, :40] /= 30
    assert read(luminance, painted(0.5))[0] == 0


@pytest.mark.parametrize("stops", [1.5, 3.0, 6.0])
def test_a_spot_counts_by_its_pixels_and_its_peak_by_its_stops(stops: float) -> None:
    luminance = body(0.3)
    luminance[:4, :10] *= np.float32(2.0**stops)
    percent, peak = read(luminance, painted(0.3))
    assert percent == pytest.approx(2.0)
    assert peak == pytest.approx(stops, abs=1e-4)


def test_a_spot_under_a_stop_is_none_and_how_bright_the_light_is_does_not_matter() -> None:
    luminance = body(0.3)
    luminance[:4, :10] *= np.float32(1.9)
    assert read(luminance, painted(0.3))[0] == 0
    assert read(luminance * np.float32(100), painted(0.3)) == pytest.approx(read(luminance, painted(0.3)), abs=1e-4)


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
