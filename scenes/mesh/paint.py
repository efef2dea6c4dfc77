"""The colours that a mesh file brings along: of its corners, or of a picture that is laid over them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import hex_colour, srgb_encode

DEFAULT_GREYS: Final = {102, 127, 128, 150, 153, 163, 178, 179, 191, 192, 204, 205, 255}
"""Of programs, in bytes: a piece of one of these was given no colour by anybody."""


@dataclass(frozen=True, eq=False)
class Paint:
    """What a file paints its triangles with, corner by corner, in the order of the faces.

    Without a picture `corners` is (m, 3, 3), linear sRGB from 0 to 1. With one it is (m, 3, 2), places in it: 0 to 1
    to the right and 0 to 1 from the bottom up, repeating beyond; `picture` is (height, width, 3), sRGB bytes, its
    first row on top. Pieces that share a picture share the array.
    """

    corners: NDArray[np.float32]
    picture: NDArray[np.uint8] | None = None

    def of(self, faces: NDArray[Any]) -> Paint:
        """Return the paint of some faces, by their numbers or a mask."""
        return replace(self, corners=self.corners[faces])

    def turned(self, faces: NDArray[np.bool_] | None = None) -> Paint:
        """Return the paint of the same faces, those of a mask or all with their corners in the opposite order."""
        other = self.corners[:, ::-1]
        return replace(self, corners=other if faces is None else np.where(faces[:, None, None], other, self.corners))


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
