"""Pictures made smaller in linear light, so that small bright points keep their light."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import srgb_decode, srgb_encode


def at_most(rgb: NDArray[np.uint8], width: int) -> NDArray[np.uint8]:
    """Return a picture made smaller, in linear light, where it is wider."""
    if rgb.shape[1] <= width:
        return rgb
    return np.round(255 * srgb_encode(linear_at_width(rgb, width))).astype(np.uint8)


def linear_at_width(rgb: NDArray[np.uint8], width: int) -> NDArray[np.float32]:
    """Return a picture, (height, width, 3) of 8-bit sRGB, in linear light, made smaller where it is wider."""
    from PIL import Image

    linear = _DECODED[rgb]
    height = max(1, round(rgb.shape[0] * width / rgb.shape[1]))
    if width >= rgb.shape[1]:
        return linear
    planes = [Image.fromarray(linear[..., i]).resize((width, height), Image.Resampling.LANCZOS) for i in range(3)]
    return np.stack([np.asarray(plane) for plane in planes], axis=-1).clip(0.0, 1.0)


_DECODED = np.asarray(srgb_decode(np.arange(256) / 255), np.float32)
