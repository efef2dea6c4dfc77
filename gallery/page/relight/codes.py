"""Light in 8 bits a channel: on a logarithmic curve, and its ratio to that of another colour of the lamp.

A step of the curve is 3.4 % of the light at most, whatever the exposure. As a square root of XYZ in 8 bits, colours
would be more than twice as wrong.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.arrays import Array
from render.camera.dither import thresholds

RANGE: Final = 4095
"""How far the curve reaches below 1, where it becomes a straight line: 12 stops."""
RATIO_STOPS: Final = 1.5
"""The largest ratio, up or down."""
_HIGHEST: Final = 255
_ONE: Final = 128
"""The code of the ratio 1."""


def light_codes(light: NDArray[np.floating]) -> NDArray[np.uint8]:
    """Return the codes of light, (height, width, 3), dithered; below 0 and above 1 it is clipped.

    Without dithering, the steps of the curve are contours on a smooth backdrop. It rounds up where that of the frame
    rounds down: its pattern is hardly seen.
    """
    curved = np.log2(1.0 + RANGE * np.clip(light, 0.0, 1.0)) / np.log2(1.0 + RANGE)
    codes: NDArray[np.uint8] = np.floor(_HIGHEST * curved + thresholds(*light.shape[:2])[..., None]).astype(np.uint8)
    return codes


def light_of_codes() -> Array:
    """Return the light of each code, (256,)."""
    return np.asarray(((1.0 + RANGE) ** (np.arange(256) / _HIGHEST) - 1.0) / RANGE)


def ratio_codes(ratio: ArrayLike) -> NDArray[np.uint8]:
    """Return the codes of positive ratios, any shape; beyond `RATIO_STOPS` they are clipped."""
    stops = np.clip(np.log2(ratio), -RATIO_STOPS, RATIO_STOPS)
    codes: NDArray[np.uint8] = np.rint(_ONE + stops / RATIO_STOPS * (_HIGHEST - _ONE)).astype(np.uint8)
    return codes


def ratio_of_codes() -> Array:
    """Return the ratio of each code, (256,)."""
    return np.asarray(2.0 ** ((np.arange(256) - _ONE) / (_HIGHEST - _ONE) * RATIO_STOPS))
