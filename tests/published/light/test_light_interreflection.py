"""Light that a coloured sphere sends to itself: its colour deepens at each bounce, at each wavelength for itself.

In a closed sphere lit evenly what is bounced is rho / (1 - rho) of what is direct, at each wavelength.
"""

from __future__ import annotations

import warnings
from functools import lru_cache

import numpy as np
import pytest

from materials.arrays import Array
from materials.light.observer import COLOUR_MATCHING, MAX_LUMINOUS_EFFICACY, WAVELENGTHS_NM
from materials.light.spectra import blackbody
from materials.surface.finish import Finish
from render.images.bands import band_basis, band_weights
from render.kernel.meters import irradiance
from tests.support.light import bulb, check, seeds_of, tracer
from tests.support.notes import note
from tests.support.report import SECTION, absolute, relative
from tests.support.shapes import ball

with warnings.catch_warnings():
    # the library says at import that plotting is not installed; nothing here plots
    warnings.simplefilter("ignore")
    import colour

CHART = "ColorChecker N Ohta, red"
SOURCE = f"sum of the series rho / (1 - rho) at 1 nm, {CHART} of colour-science"
LUMENS = 1000.0
PEAKS = (None, 0.9)
"""The patch as it was measured, and scaled until its highest reflectance is .9."""
LAMPS = ("4000 K", "LED-B3")
Y_BOUND, XY_BOUND = 0.005, 0.003
OBSERVER = MAX_LUMINOUS_EFFICACY * COLOUR_MATCHING


def on_grid(tabulated: object) -> Array:
    """Return a spectrum of the reference library on the grid of the project."""
    values: Array = np.interp(WAVELENGTHS_NM, tabulated.wavelengths, tabulated.values)  # type: ignore[attr-defined]
    return values


def red(peak: float | None) -> Array:
    """Return the reflectance of the red patch, scaled to a peak."""
    measured = on_grid(colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"]["red"])
    return measured if peak is None else measured * (peak / measured.max())


def lit(lamp: str) -> Array:
    """Return the spectral flux of a lamp, W/nm."""
    spectrum = blackbody(4000) if lamp == "4000 K" else on_grid(colour.SDS_ILLUMINANTS[lamp])
    scaled: Array = spectrum * LUMENS / (OBSERVER[1] @ spectrum)
    return scaled


@lru_cache(maxsize=2)
def bounced_bands(peak: float | None) -> Array:
    """Return the mean irradiance bounced on a red sphere by a flat bulb of 1 W/nm in its middle: (batches, bands)."""
    sphere, lamp = ball(1.0, 4), bulb((0, 0, 0), 0.02)
    traced = tracer(sphere.surface("sphere", Finish.board(red(peak))))
    meters = sphere.meters(-1, every=64)
    got = irradiance(traced, [lamp], meters, 1 << 11, seeds_of(meters, 1))
    means: Array = got[0, :, 1].mean(axis=1) / lamp.etendue
    return means


def direct() -> float:
    """Return the mean direct irradiance of the sphere by 1 W/nm, W/(m2 nm)."""
    return float(1 / ball(1.0, 4).areas.sum())


def chromaticity(xyz: Array) -> Array:
    """Return x, y of XYZ (..., 3)."""
    xy: Array = xyz[..., :2] / xyz.sum(axis=-1, keepdims=True)
    return xy


def series(reflectance: Array) -> Array:
    """Return the sum of all bounces for one of direct light."""
    return reflectance / (1 - reflectance)


def case_of(peak: float | None) -> str:
    """Return which sphere it is, in words."""
    return f"sphere of {CHART}" + (f" scaled to a peak of {peak:g}" if peak else "")


@pytest.mark.parametrize("peak", PEAKS)
def test_a_red_sphere_multiplies_its_light_in_each_band(peak: float | None) -> None:
    expected, got = band_basis() @ (direct() * series(red(peak))), bounced_bands(peak)
    for band, value in enumerate(expected):
        case = f"{case_of(peak)}, band {band + 1} of {expected.size}, W/m2"
        check(case, SOURCE, float(value), got[:, band], relative(0.005))


@pytest.mark.parametrize("lamp", LAMPS)
@pytest.mark.parametrize("peak", PEAKS)
def test_a_red_sphere_bounces_the_colour_of_the_whole_series(peak: float | None, lamp: str) -> None:
    expected = OBSERVER @ (lit(lamp) * direct() * series(red(peak)))
    got = bounced_bands(peak) @ band_weights(lit(lamp), OBSERVER).T
    case = f"{case_of(peak)} under {lamp}, bounced"
    check(f"{case} lx", SOURCE, float(expected[1]), got[:, 1], relative(Y_BOUND))
    for i, name in enumerate("xy"):
        value = float(chromaticity(expected)[i])
        check(f"{case} {name}", SOURCE, value, chromaticity(got)[:, i], absolute(XY_BOUND))


@pytest.mark.parametrize("lamp", LAMPS)
@pytest.mark.parametrize("peak", PEAKS)
def test_three_channels_miss_the_colour_of_the_series_by_far(peak: float | None, lamp: str) -> None:
    # each channel has the reflectance that makes one bounce of this lamp exact
    reflectance, light = red(peak), lit(lamp) * direct()
    expected = OBSERVER @ (light * series(reflectance))
    to_rgb = colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB
    rgb_light = to_rgb @ OBSERVER @ light
    channels = to_rgb @ OBSERVER @ (light * reflectance) / rgb_light
    got = np.linalg.solve(to_rgb, rgb_light * series(channels))
    case = f"{case_of(peak)} under {lamp}, by three channels of linear sRGB, bounced"
    want_xy, got_xy = chromaticity(expected), chromaticity(got)
    y_error, xy_errors = abs(got[1] / expected[1] - 1), abs(got_xy - want_xy)
    note(SECTION, f"{case} lx | {SOURCE} | {expected[1]:.9g} | {got[1]:.9g} | {y_error:.2g} (has to be far off)")
    for i, name in enumerate("xy"):
        values = f"{want_xy[i]:.9g} | {got_xy[i]:.9g} | {xy_errors[i]:.2g}"
        note(SECTION, f"{case} {name} | {SOURCE} | {values} (has to be far off)")
    assert min(y_error / Y_BOUND, xy_errors.max() / XY_BOUND) > 10
