"""Values over the triangles of a mesh: at their corners, or from a picture by texture coordinates."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Self, TypeVar

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class CornerMap:
    """What the corners of triangles carry, (m, 3, k) in the order of the faces, and a picture or None.

    Texture coordinates are 0 to 1 to the right and from the bottom up, and repeat beyond; the first row of a picture is
    on top. Pieces that share a picture share the array.
    """

    corners: NDArray[np.float32]
    picture: NDArray[np.uint8] | None = None

    def of(self, faces: NDArray[Any]) -> Self:
        """Return the map of some faces, by index or mask."""
        return replace(self, corners=self.corners[faces])

    def reversed(self, faces: NDArray[np.bool_] | None = None) -> Self:
        """Return the map with the corners of all faces, or of those in a mask (m,), in reverse order."""
        backward = self.corners[:, ::-1]
        corners = backward if faces is None else np.where(faces[:, None, None], backward, self.corners)
        return replace(self, corners=corners)


AnyMap = TypeVar("AnyMap", bound=CornerMap)
