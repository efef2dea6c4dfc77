"""What a topcoat does to a frame: highlights over the body of the paint, and fine texture. On the frame as shown."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Image = NDArray[np.float32]
Mask = NDArray[np.bool_]

LUMINANCE = np.array([0.2126, 0.7152, 0.0722], np.float32)  # of linear sRGB, IEC 61966-2-1
DARKEST_BODY = 0.02  # as black as paint gets
AROUND_SHARE = 0.12  # of the root of the subject's pixels: how far round a pixel its own light is judged
HIGHLIGHT_STOPS, PEAK_PERCENTILE = 1.0, 99.9
FINE_PX = 4.0
DARK_SHARE = 1e-3  # of the median: darker than this counts as this


def stops_over_body(luminance: Image, albedo: Image, subject: Mask) -> Image | None:
    """Return by how many stops each of the subject's pixels, (n,), is brighter than its body would be.

    Luminance is divided by the body's own colour, `albedo` (height, width, 3) linear sRGB, so that a pale part beside
    a dark one is no highlight. What is left is set against the mean of its log2 round about, by a Gaussian, or the
    median over the subject where that is higher, so that what is lit beside a shadow is no highlight either.
    None without a subject.
    """
    if not subject.any():
        return None
    body = np.maximum(albedo @ LUMINANCE, DARKEST_BODY)
    light = _log2(luminance / body, subject)
    around = _blurred(light, subject, AROUND_SHARE * float(np.sqrt(subject.sum())))
    over: Image = (light - np.maximum(around, np.median(light[subject])))[subject]
    return over


def highlight_percent(over: Image | None) -> float | None:
    """Return the share of the subject a stop or more over its body, of `stops_over_body`; None without a subject."""
    return None if over is None else 100.0 * float((over >= HIGHLIGHT_STOPS).mean())


def highlight_peak_stops(over: Image | None) -> float | None:
    """Return the 99.9th percentile of `stops_over_body`, before it clips; None without a subject."""
    return None if over is None else float(np.percentile(over, PEAK_PERCENTILE))


def texture_contrast_stops(luminance: Image, region: Mask) -> float | None:
    """Return the RMS contrast of fine detail: the standard deviation of log2 luminance less its blur by 4 pixels.

    `region` is the subject, or the parts that are looked at; outside of it nothing counts. None where it is empty.
    """
    if not region.any():
        return None
    light = _log2(luminance, region)
    return float((light - _blurred(light, region, FINE_PX))[region].std())


def _log2(values: Image, mask: Mask) -> Image:
    darkest = DARK_SHARE * float(np.median(values[mask])) + 1e-9
    return np.log2(np.maximum(values, np.float32(darkest)))


def _blurred(values: Image, mask: Mask, sigma: float) -> Image:
    """Return the Gaussian mean of what lies inside a mask alone (normalised convolution)."""
    from scipy.ndimage import gaussian_filter

    share = gaussian_filter(mask.astype(np.float32), sigma, truncate=3.0)
    total = gaussian_filter(np.where(mask, values, 0).astype(np.float32), sigma, truncate=3.0)
    blurred: Image = total / np.maximum(share, 1e-6)
    return blurred
