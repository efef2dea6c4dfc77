"""Metering by the whole frame, as a phone left to itself does: centre-weighted, and lowered where much would clip."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from materials.arrays import Array, Image
from scenes.units import stops

from .exposure import LENS, REFLECTED, WHITE
from .steps import THIRDS, step_value

SIGMA: Final = 0.25
"""Of the centre's weight, in widths and heights of the frame (common practice, no source)."""
CLIPPED: Final = 0.05
"""Greatest part of the frame above its white (common practice, no source)."""


def scene_luminance(luminance: Image) -> float:
    """Return the luminance that a frame is metered at, cd/m2: N2 / (t S) = L / 12.5.

    It is the mean over the frame, weighted by a Gaussian about its centre, raised in thirds of a stop until at most
    5 % of the frame are above the white of the exposure. A black frame has 0.

    Parameters
    ----------
    luminance : (height, width)
        cd/m2.
    """
    down, across = (_weights(pixels) for pixels in luminance.shape)
    mean = float(down @ luminance @ across)
    if mean <= 0:
        return 0.0
    bright = float(np.quantile(luminance, 1 - CLIPPED, method="higher"))
    over_white = THIRDS * stops(bright / (WHITE / LENS / REFLECTED * mean))
    return step_value(max(0, math.ceil(over_white)), mean)


def _weights(pixels: int) -> Array:
    """Return the weights (pixels,) of a row or a column, in all 1."""
    from_centre = (np.arange(pixels) + 0.5) / pixels - 0.5
    weights = np.exp(-0.5 * (from_centre / SIGMA) ** 2)
    return np.asarray(weights / weights.sum())
