"""The array types that every package names, and how an array is made read-only."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]
"""Numbers of any shape."""
Vector: TypeAlias = NDArray[np.float64]
"""Vectors in space, (3,) or (n, 3)."""
Image: TypeAlias = NDArray[np.float32]
"""A picture in linear values, (height, width) or (height, width, channels)."""
Mask: TypeAlias = NDArray[np.bool_]
"""One truth value per pixel or element."""


def frozen(array: Array) -> Array:
    """Return `array` itself, made read-only."""
    array.setflags(write=False)
    return array
