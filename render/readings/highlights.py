"""What a topcoat does to a frame: highlights over the body of the paint, and fine texture. On the frame as shown."""

from __future__ import annotations

import numpy as np

from materials.arrays import Image, Mask

LUMINANCE = np.array([0.2126, 0.7152, 0.0722], np.float32)  # of linear sRGB, IEC 61966-2-1
SURFACE_SHARE = 0.04  # of light that any surface of n = 1.5 sends back (Fresnel), which on a dull one is its body's
LIT_PERCENTILE = 90.0  # of the subject's pixels by their light: what stands in full light, without its shine
HIGHLIGHT_STOPS, PEAK_PERCENTILE = 1.0, 99.9
FINE_PX = 4.0
DARKEST_STOPS = 5.0  # under the 95th percentile; darker than that counts as that


def stops_over_body(luminance: Image, albedo: Image, subject: Mask) -> Image | None:
    """Return by how many stops each of the subject's pixels, (n,), is brighter than its body is in full light.

    Luminance over the body's own brightness is the light that the body would need: a pale part beside a dark one is
    no highlight. The body is `albedo` (height, width, 3) linear sRGB and what a dull surface adds to it. Full light is
    the 90th percentile over the subject, so that what is lit beside a shadow is no highlight either. None without a
    subject.
    """
    if not subject.any():
        return None
    base = albedo[subject] @ LUMINANCE
    light = luminance[subject] / (base + SURFACE_SHARE * (1 - base))
    full = float(np.percentile(light, LIT_PERCENTILE))
    if full <= 0:
        return None
    over: Image = np.log2(np.maximum(light, 1e-6 * full) / np.float32(full))
    return over


def highlight_percent(over: Image | None) -> float | None:
    """Return the share of the subject a stop or more over its body, of `stops_over_body`; None without one."""
    return None if over is None else 100.0 * float((over >= HIGHLIGHT_STOPS).mean())


def highlight_peak_stops(over: Image | None) -> float | None:
    """Return the 99.9th percentile of `stops_over_body`, before it clips; None without a subject in light."""
    return None if over is None else float(np.percentile(over, PEAK_PERCENTILE))


def texture_contrast_stops(shown: Image, region: Mask) -> float | None:
    """Return the RMS contrast of fine detail: the standard deviation of log2 luminance less its blur by 4 pixels.

    `shown` is relative luminance (height, width), 1 where it clips; more counts as 1, and what lies 5 stops under the
    region's 95th percentile as that. `region` is the subject, or the parts looked at; outside of it nothing counts.
    None where it is empty or black.
    """
    bright = float(np.percentile(shown[region], 95)) if region.any() else 0.0
    if bright <= 0:
        return None
    light = np.log2(np.clip(shown, min(bright, 1.0) * 2.0**-DARKEST_STOPS, 1.0))
    return float((light - _blurred(light, region, FINE_PX))[region].std())


def _blurred(values: Image, mask: Mask, sigma: float) -> Image:
    """Return the Gaussian mean of what lies inside a mask alone (normalised convolution)."""
    from scipy.ndimage import gaussian_filter

    share = gaussian_filter(mask.astype(np.float32), sigma)
    total = gaussian_filter(np.where(mask, values, 0).astype(np.float32), sigma)
    blurred: Image = total / np.maximum(share, 1e-6)
    return blurred
