"""The pictures that an OBJ or PLY file names, found by its folder and decoded once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scenes.mesh.pictures import LARGEST_PICTURE_BYTES, Album, Pixels

from .folder import FolderResolver


class FilePictures:
    """The pictures of one mesh file; the same name gives the same arrays."""

    def __init__(self, resolver: FolderResolver) -> None:
        self._resolver = resolver
        self._album = Album()

    def pixels(self, name: str, tint: NDArray[np.float64] | None) -> Pixels:
        """Return the pixels of a picture, each times a linear colour (3,)."""
        return self._album.pixels(name, lambda: self._resolver.get(name, LARGEST_PICTURE_BYTES), name, tint)

    def opacity(self, name: str, *, is_inverted: bool) -> NDArray[np.uint8] | None:
        """Return the opacity that a picture has or, grey by grey, shows; None where it cannot be read."""
        return self._album.opacity(name, self.pixels(name, None), is_inverted=is_inverted)

    def without_fringe(self, picture: NDArray[np.uint8], opacity: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return a picture whose clear texels have the colour of the opaque ones next to them."""
        return self._album.without_fringe(picture, opacity)
