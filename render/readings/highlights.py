"""Readings that depend on the topcoat: shine, and the contrast of fine texture. Of the frame as shown."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.arrays import Image, Mask
from materials.colour.lab import lightness
from materials.colour.srgb import LUMINANCE_WEIGHTS
from render.camera.window import window_about

SURROUND: Final = 0.03
"""Width (standard deviation) of the surround, as a fraction of the side of a square of the subject's area.

Chosen by eye on eight models, dark, pale, textured and of metal, from matt to gloss: under butterfly, loop and broad
the reading rises with every step of gloss, as the eye ranks them. Under rim alone, where a matt coat glares at grazing
angles too, it stays about the same.
"""
HIGHLIGHT_LIGHTNESS: Final = 10.0
"""Step of CIE lightness from which a place is a highlight: clearly lighter than what is round it."""
FINE_PX = 4.0
TRUNCATE: Final = 4.0
"""Standard deviations to which a Gaussian is summed."""
DARKEST_STOPS = 5.0  # under the 95th percentile; darker pixels are clipped to it


def relative_luminance(linear: Image) -> Image:
    """Return the relative luminance (...) of linear sRGB (..., 3)."""
    luminance: Image = linear @ LUMINANCE_WEIGHTS.astype(np.float32)
    return luminance


def lightness_steps(luminance: Image, specular: Image, subject: Mask) -> Image | None:
    """Return how much lighter each pixel of the subject is than if its shine were spread over its surround, (n,).

    In CIE lightness, from 0 for black to 100 for the frame's white. The specular light that the frame shows, cut at its
    white, is spread by a Gaussian within the subject. So a small bright spot counts, on dark paint more than on pale;
    the even veil of a matt coat does not, nor do shading, shadows and paint, which are not specular light. None without
    a subject or without any light on it.

    Parameters
    ----------
    luminance, specular : (height, width)
        Of all light, and of what facets of the first surface mirrored, relative to the frame's white.

    Notes
    -----
    How glossy a surface is seen to be goes with the contrast, the sharpness and the area of its highlights (Marlow,
    Kim and Anderson, "The perception and misperception of specular surface reflectance", 2012; from memory).
    """
    if not subject.any() or not (luminance[subject] > 0).any():
        return None
    sigma = SURROUND * float(np.sqrt(subject.sum()))
    window = window_about(subject, _reach_px(sigma))
    luminance, specular, subject = luminance[window], specular[window], subject[window]
    shown = np.clip(luminance, 0.0, 1.0)
    body = np.clip(luminance - specular, 0.0, 1.0)
    spread = _blurred(shown - body, subject, sigma)
    steps: Image = lightness(shown[subject]) - lightness((body + spread)[subject])
    return steps


def shine_lightness(steps: Image | None) -> float | None:
    """Return the shine: the root mean square over the subject of `lightness_steps` upwards."""
    return None if steps is None else float(np.sqrt(np.mean(np.maximum(steps, 0.0) ** 2)))


def highlight_percent(steps: Image | None) -> float | None:
    """Return the percentage of the subject in highlights: at least 10 of CIE lightness over their surround."""
    return None if steps is None else 100.0 * float((steps >= HIGHLIGHT_LIGHTNESS).mean())


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
    window = window_about(region, _reach_px(FINE_PX))
    luminance, region = luminance[window], region[window]
    light = np.log2(np.clip(luminance, min(bright, 1.0) * 2.0**-DARKEST_STOPS, 1.0))
    return float((light - _blurred(light, region, FINE_PX))[region].std())


def _reach_px(sigma: float) -> int:
    """Return how far the Gaussian of `_blurred` reaches."""
    return int(TRUNCATE * sigma + 0.5)


def _blurred(values: Image, mask: Mask, sigma: float) -> Image:
    """Return the Gaussian blur of the values inside a mask (normalised convolution)."""
    from scipy.ndimage import gaussian_filter

    reach = _reach_px(sigma)
    share = gaussian_filter(mask.astype(np.float32), sigma, radius=reach)
    total = gaussian_filter(np.where(mask, values, 0).astype(np.float32), sigma, radius=reach)
    blurred: Image = total / np.maximum(share, 1e-6)
    return blurred
