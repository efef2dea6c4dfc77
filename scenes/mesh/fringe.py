"""Colours of a picture under its clear texels, which cameras see mixed into the edge of what is opaque."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

CLEAR: Final = 8
"""Opacity in 255ths, under which the colour of a texel is nobody's choice: painting programs leave black or white."""
NEIGHBOURS: Final = 3
"""Texels a side about a texel whose colours it takes; interpolation reaches no farther."""


def without_fringe(picture: NDArray[np.uint8], opacity: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return a picture (height, width, 3) whose clear texels have the colour of the opaque ones next to them.

    An opacity of another size than the picture is scaled to it.
    """
    from scipy.ndimage import uniform_filter

    weight = _scaled(opacity, picture.shape[:2]).astype(np.float32)
    is_clear = weight < CLEAR
    weight[is_clear] = 0.0
    near = uniform_filter(weight, NEIGHBOURS, mode="wrap")
    is_edge = is_clear & (near > 0.5 / NEIGHBOURS**2)
    result = picture.copy()
    for i in range(3):
        colour = uniform_filter(weight * picture[..., i], NEIGHBOURS, mode="wrap")
        result[is_edge, i] = np.rint(np.clip(colour[is_edge] / near[is_edge], 0, 255))
    return result


def _scaled(opacity: NDArray[np.uint8], shape: tuple[Any, ...]) -> NDArray[np.uint8]:
    from PIL import Image

    if opacity.shape == shape:
        return opacity
    return np.asarray(Image.fromarray(opacity).resize((shape[1], shape[0]), Image.Resampling.BOX))
