"""Readings of small images with known answers, and of images without anything to measure."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from materials.light.spectra import blackbody, photometric_value
from render.description.scene import meter_at
from render.images.bands import band_basis
from render.readings.metering import (
    backdrop_stops,
    clipped_percent,
    crushed_percent,
    edge_stops,
    key_to_fill_stops,
    lux,
)

NOTHING = np.zeros((10, 10), bool)
SUBJECT = NOTHING.copy()
SUBJECT[2:8, 2:8] = True
BACKDROP = ~SUBJECT


def two_levels(subject: float, backdrop: float) -> NDArray[np.float32]:
    return np.where(SUBJECT, subject, backdrop).astype(np.float32)


def three_channels(image: NDArray[np.float32]) -> NDArray[np.float32]:
    return np.repeat(image[..., None], 3, axis=-1)


@pytest.mark.parametrize(("backdrop", "stops"), [(1, 0), (0.5, -1), (4, 2), (0.18, math.log2(0.18))])
def test_the_backdrop_is_read_in_stops_over_the_subjects_mean(backdrop: float, stops: float) -> None:
    assert backdrop_stops(two_levels(1, backdrop), SUBJECT, BACKDROP) == pytest.approx(stops, abs=1e-6)


def test_the_backdrop_is_read_by_means_and_not_by_peaks() -> None:
    luminance = two_levels(1, 1)
    luminance[SUBJECT] = np.where(np.arange(36) < 18, 0.5, 1.5)  # mean 1
    luminance[0, 0] = 65  # the backdrop's 64 pixels then have the mean 2
    assert backdrop_stops(luminance, SUBJECT, BACKDROP) == pytest.approx(1)


@pytest.mark.parametrize(
    ("luminance", "subject", "backdrop"),
    [
        (two_levels(1, 1), NOTHING, BACKDROP),
        (two_levels(1, 1), SUBJECT, NOTHING),
        (two_levels(0, 1), SUBJECT, BACKDROP),
        (two_levels(1, 0), SUBJECT, BACKDROP),
    ],
)
def test_without_light_on_subject_or_backdrop_there_are_no_backdrop_stops(
    luminance: NDArray[np.float32], subject: NDArray[np.bool_], backdrop: NDArray[np.bool_]
) -> None:
    assert backdrop_stops(luminance, subject, backdrop) is None


@pytest.mark.parametrize("clipped", [0, 9, 36])
def test_clipped_is_the_share_of_the_subject_where_one_channel_saturates(clipped: int) -> None:
    linear = three_channels(two_levels(0.5, 3.0))  # a white backdrop does not count
    flat = linear[SUBJECT]
    flat[:clipped, clipped % 3] = 1.0
    linear[SUBJECT] = flat
    assert clipped_percent(linear, SUBJECT) == pytest.approx(100 * clipped / 36)


def test_just_under_saturation_nothing_is_clipped() -> None:
    assert clipped_percent(three_channels(two_levels(np.nextafter(np.float32(1), np.float32(0)), 1)), SUBJECT) == 0


def test_without_a_subject_nothing_is_clipped_or_crushed_or_has_an_edge() -> None:
    image = two_levels(1, 1)
    assert clipped_percent(three_channels(image), NOTHING) is None
    assert crushed_percent(image, NOTHING) is None
    assert edge_stops(image, NOTHING, BACKDROP) is None


@pytest.mark.parametrize(("dark", "percent"), [(0.0049, 25), (0.0051, 0), (0, 25)])
def test_crushed_is_what_lies_under_half_a_per_cent_of_the_subjects_bright_part(dark: float, percent: float) -> None:
    luminance = two_levels(1, 0)  # a black backdrop does not count
    flat = luminance[SUBJECT]
    flat[:9] = dark
    luminance[SUBJECT] = flat
    assert crushed_percent(luminance, SUBJECT) == pytest.approx(percent)


@given(st.floats(1e-3, 1e5))
def test_crushed_does_not_depend_on_the_exposure(level: float) -> None:
    luminance = np.random.default_rng(3).lognormal(0, 3, (10, 10)).astype(np.float32)
    expected = crushed_percent(luminance, SUBJECT)
    assert crushed_percent(luminance * np.float32(level), SUBJECT) == pytest.approx(expected)


@pytest.mark.parametrize(("subject", "backdrop", "stops"), [(1, 1, 0), (1, 0.25, 2), (0.5, 4, 3)])
def test_an_edge_is_the_step_across_the_silhouette_either_way(subject: float, backdrop: float, stops: float) -> None:
    assert edge_stops(two_levels(subject, backdrop), SUBJECT, BACKDROP) == pytest.approx(stops, abs=1e-5)


def test_an_edge_to_black_counts_to_a_thousandth_of_the_subject() -> None:
    assert edge_stops(two_levels(1, 0), SUBJECT, BACKDROP) == pytest.approx(math.log2(1000), abs=1e-4)


def test_an_edge_is_read_across_a_soft_pixel_between() -> None:
    between = NOTHING.copy()
    between[1:9, 1:9] = ~SUBJECT[1:9, 1:9]
    luminance = np.where(between, 1e3, two_levels(1, 0.25)).astype(np.float32)  # neither subject nor backdrop
    assert edge_stops(luminance, SUBJECT, BACKDROP & ~between) == pytest.approx(2, abs=1e-5)


def test_a_bright_rim_on_half_of_the_outline_does_not_move_the_median_of_the_rest() -> None:
    luminance = two_levels(1, 0.25)
    luminance[2:8, 2] = 64
    assert edge_stops(luminance, SUBJECT, BACKDROP) == pytest.approx(2, abs=1e-5)


def test_where_the_subject_meets_no_backdrop_there_is_no_edge() -> None:
    far = NOTHING.copy()
    far[9, 9] = True
    assert edge_stops(two_levels(1, 0.5), SUBJECT, NOTHING) is None
    assert edge_stops(two_levels(1, 0.5), SUBJECT, far) is None


@pytest.mark.parametrize(
    ("direct", "indirect", "key", "cards", "stops"),
    [
        ((100, 100), (0, 0), 0, False, 1),  # a fill as strong as the key
        ((300, 100), (0, 0), 0, False, 2),
        ((100, 300), (0, 0), 1, False, 2),  # the key is not the first
        ((250, 70), (50, 30), 0, False, 2),  # what the fill bounces is fill, what the key bounces is not
        ((75,), (25,), 0, True, 2),  # of one lamp, what a card sends back is the fill
        ((70, 30), (20, 0), 0, True, 2),  # with a second lamp the key's own bounce is the key's
        ((100, 50, 50), (0, 0, 0), 0, False, 1),
        ((0, 50), (0, 0), 0, False, 0),  # a rim that the receptor does not see takes nothing away
    ],
)
def test_key_to_fill_is_all_the_light_over_what_is_not_the_keys(
    direct: tuple[float, ...], indirect: tuple[float, ...], key: int, cards: bool, stops: float
) -> None:
    assert key_to_fill_stops(np.column_stack([direct, indirect]), key, cards) == pytest.approx(stops)


@pytest.mark.parametrize(
    ("direct", "indirect", "key", "cards"),
    [
        ((100,), (30,), 0, False), ((100, 0), (5, 0), 0, False), ((100,), (0,), 0, True), ((0, 0), (0, 0), None, True),
    ],
)  # fmt: skip
def test_without_a_fill_or_a_key_there_is_no_ratio(
    direct: tuple[float, ...], indirect: tuple[float, ...], key: int | None, cards: bool
) -> None:
    assert key_to_fill_stops(np.column_stack([direct, indirect]), key, cards) is None


@pytest.mark.parametrize("kelvin", [2000, 4000, 6500])
def test_the_lux_of_a_flat_irradiance_is_the_lumens_of_the_lamps_spectrum(kelvin: float) -> None:
    flat = band_basis().sum(axis=1)  # 1 W/(m2 nm) at every wavelength, in bands
    irradiance = np.stack([flat, 3 * flat])[None]
    np.testing.assert_allclose(
        lux(irradiance, blackbody(kelvin)), [[photometric_value(blackbody(kelvin))] * 2 * np.array([1, 3])]
    )


def test_a_meter_is_put_in_metres_with_its_area_by_half_its_sides() -> None:
    meter = meter_at((10, -20, 30), (0, -2, 0), (4, 6))
    np.testing.assert_allclose(meter.at, [0.1, -0.2, 0.3])
    np.testing.assert_allclose(meter.axes[:, 2], [0, -1, 0])
    assert meter.half == pytest.approx((0.02, 0.03))
