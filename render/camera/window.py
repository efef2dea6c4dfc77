"""Rectangular parts of frames, so that work is done where something is seen."""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np

from materials.arrays import Mask

Window: TypeAlias = tuple[slice, slice]
"""Rows and columns of a frame."""
WHOLE: Final[Window] = slice(None), slice(None)


def window_about(mask: Mask, margin: int) -> Window:
    """Return the rows and columns of a mask's pixels, and `margin` more on every side as far as the frame reaches.

    Empty of an empty mask.
    """
    rows, columns = (_extent(np.asarray(mask.any(axis=axis)), margin) for axis in (1, 0))
    return rows, columns


def _extent(occupied: Mask, margin: int) -> slice:
    at = np.flatnonzero(occupied)
    return slice(max(0, int(at[0]) - margin), int(at[-1]) + 1 + margin) if len(at) else slice(0, 0)
