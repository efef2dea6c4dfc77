"""Readings that depend on the topcoat: specular highlights, and the contrast of fine texture. In denoised pictures."""

from __future__ import annotations

import numpy as np

from materials.arrays import Image, Mask
from materials.colour.srgb import LUMINANCE_WEIGHTS

SURFACE_REFLECTANCE = 0.04  # Fresnel reflectance at n = 1.5, normal incidence; a rough surface scatters it diffusely
LIT_PERCENTILE = 90.0  # of luminance over body reflectance: fully lit, but no highlight
HIGHLIGHT_STOPS, PEAK_PERCENTILE = 1.0, 99.9
FINE_PX = 4.0
DARKEST_STOPS = 5.0  # under the 95th percentile; darker pixels are clipped to it


def relative_luminance(linear: Image) -> Image:
    """Return the relative luminance (...) of linear sRGB (..., 3)."""
    luminance: Image = linear @ LUMINANCE_WEIGHTS.astype(np.float32)
    return luminance


def stops_over_body(luminance: Image, albedo: Image, subject: Mask) -> Image | None:
    """Return the luminance of each of the subject's pixels over that of its body fully lit, in stops, (n,).

    The body is the diffuse reflectance: the luminance of `albedo`, and the Fresnel reflectance of a rough surface.
    Luminance divided by it does not depend on the paint, so a pale part beside a dark one is no highlight. Its 90th
    percentile over the subject is taken as fully lit, so a lit part beside a shadow is no highlight either. None
    without a subject, or without light.

    Parameters
    ----------
    luminance : (height, width)
        In any unit.
    albedo : (height, width, 3)
        Linear sRGB.
    """
    if not subject.any():
        return None
    base = relative_luminance(albedo[subject])
    light = luminance[subject] / (base + SURFACE_REFLECTANCE * (1 - base))
    full = float(np.percentile(light, LIT_PERCENTILE))
    if full <= 0:
        return None
    over: Image = np.log2(np.maximum(light, 1e-6 * full) / np.float32(full))
    return over


def highlight_percent(over: Image | None) -> float | None:
    """Return the percentage of pixels a stop or more over their body, of `stops_over_body`."""
    return None if over is None else 100.0 * float((over >= HIGHLIGHT_STOPS).mean())


def highlight_peak_stops(over: Image | None) -> float | None:
    """Return the 99.9th percentile of `stops_over_body`, unclipped."""
    return None if over is None else float(np.percentile(over, PEAK_PERCENTILE))


def texture_contrast_stops(luminance: Image, region: Mask) -> float | None:
    """Return the RMS contrast of fine detail: the standard deviation of log2 luminance less its blur by 4 pixels.

    Parameters
    ----------
    luminance : (height, width)
        Relative to the frame's white. Clipped to 1, and from below 5 stops under the region's 95th percentile.
    region : (height, width)
        The pixels that count. Without any, or with black ones only, the result is None.
    """
    bright = float(np.percentile(luminance[region], 95)) if region.any() else 0.0
    if bright <= 0:
        return None
    light = np.log2(np.clip(luminance, min(bright, 1.0) * 2.0**-DARKEST_STOPS, 1.0))
    return float((light - _blurred(light, region, FINE_PX))[region].std())


def _blurred(values: Image, mask: Mask, sigma: float) -> Image:
    """Return the Gaussian blur of the values inside a mask (normalised convolution)."""
    from scipy.ndimage import gaussian_filter

    share = gaussian_filter(mask.astype(np.float32), sigma)
    total = gaussian_filter(np.where(mask, values, 0).astype(np.float32), sigma)
    blurred: Image = total / np.maximum(share, 1e-6)
    return blurred
