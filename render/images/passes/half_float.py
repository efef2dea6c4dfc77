"""Images in half-float, with a scale that is a power of two.

The scale brings the largest value under 2^15, so that what half-float has no room for, or only as a subnormal, is
stored as exactly as the rest: rounded by half a thousandth at most, down to 2^-29 of the largest value.
"""

from __future__ import annotations

from typing import Any, Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

LARGEST_EXPONENT: Final = 15
"""Of two, of the largest value once scaled; half-float reaches nearly 2^16."""
LEAST_EXPONENT: Final = -126
"""Of two, of a scale that single precision represents in full."""

Scale: TypeAlias = np.float32 | NDArray[np.float32]


def to_half_float(image: NDArray[np.float32]) -> tuple[NDArray[np.float16], np.float32]:
    """Return an image over a scale in half-float, and the scale."""
    scale = _scale(image)
    scaled = np.empty(image.shape, np.float16)
    np.divide(image, scale, out=scaled, casting="same_kind")
    return scaled, scale


def from_half_float(scaled: NDArray[np.float16], scale: Scale) -> NDArray[np.float32]:
    """Return what `to_half_float` was given, rounded."""
    image: NDArray[np.float32] = np.multiply(scaled, scale, dtype=np.float32)
    return image


def _scale(image: NDArray[Any]) -> np.float32:
    """Return the power of two that brings the largest finite value between 2^14 and 2^15; 1 for zeros."""
    largest = max(image.max(), -image.min())
    if not np.isfinite(largest):
        largest = np.max(np.abs(image), initial=0.0, where=np.isfinite(image))
    exponent = max(int(np.frexp(largest)[1]) - LARGEST_EXPONENT, LEAST_EXPONENT)
    return np.float32(2.0**exponent) if largest else np.float32(1)
