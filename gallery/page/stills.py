"""Frames as pictures inside the page."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from io import BytesIO
from typing import Final

import numpy as np
from numpy.typing import NDArray

QUALITY: Final = 94
"""Of lossy WebP: 60 to 90 KB for a frame of 480x640."""


@dataclass(frozen=True)
class Still:
    """A picture as a data URL, with its pixels."""

    url: str
    width: int
    height: int


def still_of(rgb: NDArray[np.uint8]) -> Still:
    """Return a picture, (height, width, 3) of 8-bit sRGB, as lossy WebP."""
    from PIL import Image

    file = BytesIO()
    Image.fromarray(rgb).save(file, "webp", quality=QUALITY, method=6)
    url = f"data:image/webp;base64,{base64.b64encode(file.getvalue()).decode('ascii')}"
    return Still(url, rgb.shape[1], rgb.shape[0])
