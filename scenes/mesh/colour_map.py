"""Colours over the triangles of a mesh: at their corners, or from a picture by texture coordinates."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import hex_colour, srgb_decode, srgb_encode

from .corner_map import CornerMap

DEFAULT_GREYS: Final = {102, 127, 128, 150, 153, 163, 178, 179, 191, 192, 204, 205, 255}
"""Of programs, in bytes: a piece of one of these was given no colour by anybody."""


@dataclass(frozen=True, eq=False)
class ColourMap(CornerMap):
    """Colours over triangles, corner by corner, in the order of the faces.

    Parameters
    ----------
    corners : (m, 3, 3) or (m, 3, 2)
        Without a picture linear sRGB, 0 to 1; with one texture coordinates.
    picture : (height, width, 3), optional
        sRGB bytes.
    internal_reflectance
        Of a clear coat that wets the colours, as it does unbound paint (`materials.surface.saunderson`); 0 without one.
    """

    internal_reflectance: float = 0.0

    @property
    def face_colours(self) -> NDArray[np.float64]:
        """Linear sRGB (m, 3) at the centres of faces: the mean of the corners, or the picture's texel."""
        middle = self.corners.mean(axis=1, dtype=np.float64)
        if self.picture is None:
            return np.asarray(middle)
        height, width = self.picture.shape[:2]
        column = np.floor(middle[:, 0] % 1.0 * width).astype(int) % width
        row = np.floor((1.0 - middle[:, 1] % 1.0) * height).astype(int) % height
        return srgb_decode(self.picture[row, column] / 255)

    @cached_property
    def mean_colour(self) -> str:
        """The mean over the centres of faces as "#rrggbb"."""
        return hex_colour(srgb_encode(np.clip(self.face_colours.mean(axis=0), 0.0, 1.0)))


def plain_colour(rows: NDArray[Any], *, linear: bool) -> str | None:
    """Return "#rrggbb" where all rows (n, 3 or more) of bytes are one colour and no program's default grey, else None.

    Bytes that are linear are encoded as sRGB (IEC 61966-2-1).
    """
    if not len(rows) or (rows[:, :3] != rows[0, :3]).any():
        return None
    red, green, blue = (int(value) for value in rows[0, :3])
    if red == green == blue and red in DEFAULT_GREYS:
        return None
    values = np.array([red, green, blue]) / 255
    return hex_colour(srgb_encode(values) if linear else values)
