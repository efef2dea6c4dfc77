"""Dithering to 8 bits: without it, a smooth dark backdrop shows its few levels as blotches with ragged contours."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array, frozen
from materials.colour.srgb import srgb_encode

from .row_bands import row_bands

MARGIN = 1 / 256
"""Of a level, at either end of the thresholds: what is a whole level but for rounding stays that level."""


@lru_cache(maxsize=4)
def thresholds(height: int, width: int) -> Array:
    """Return the share of a level, 0 to 1, from which each pixel rounds up, (height, width), read-only.

    Interleaved gradient noise, the same at every call: even over every few pixels, so that nearly none of the error is
    of low frequency (J. Jimenez, Advances in Real-Time Rendering, SIGGRAPH 2014).
    """
    row, column = np.mgrid[:height, :width].astype(np.float64)
    noise = (52.9829189 * ((0.06711056 * column + 0.00583715 * row) % 1.0)) % 1.0
    return frozen(MARGIN + (1 - 2 * MARGIN) * noise)


def encode_dithered(linear: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Return 8-bit sRGB of linear sRGB (height, width, 3), clipped to 0 to 1, that averages to what is between levels.

    The channels of a pixel share a threshold, so that what is neutral stays neutral.
    """
    dithered, rounds_up_from = np.empty(linear.shape, np.uint8), thresholds(*linear.shape[:2])
    for rows in row_bands(len(linear)):
        levels = 255.0 * srgb_encode(np.clip(linear[rows], 0.0, 1.0))
        dithered[rows] = np.floor(levels + 1.0 - rounds_up_from[rows][..., None])
    return dithered
