"""Pictures of large frames made smaller, so that a page of many stays small and is relit without waiting."""

from __future__ import annotations

import numpy as np

from gallery.frames.shots import LONG_SIDE_PX
from materials.arrays import Image


def reduced_size(width: int, height: int) -> tuple[int, int]:
    """Return the width and the height of a frame in a page: no side is longer than a frame's of no stated size."""
    factor = min(1.0, LONG_SIDE_PX / max(width, height))
    return max(1, round(factor * width)), max(1, round(factor * height))


def reduced(picture: Image) -> Image:
    """Return a picture, (height, width, 3), at the size that it has in a page: means over what each pixel covers."""
    from PIL import Image as Pillow

    height, width = picture.shape[:2]
    size = reduced_size(width, height)
    if size == (width, height):
        return picture
    channels = (Pillow.fromarray(np.ascontiguousarray(picture[..., i])) for i in range(3))
    return np.stack([np.asarray(each.resize(size, Pillow.Resampling.BOX)) for each in channels], axis=-1)
