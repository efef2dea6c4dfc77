"""Opacity over the triangles of a mesh: how much light a decal or a cut-out stops, the rest going straight on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from .corner_map import CornerMap

SAMPLES: Final = 200_000
"""Points at which the opacity of a piece is looked up."""
VISIBLE: Final = 0.98
"""Opacity from which a point counts as opaque."""


@dataclass(frozen=True, eq=False)
class OpacityMap(CornerMap):
    """Opacity over triangles, 0 where all light goes straight on to 1 where none does.

    Parameters
    ----------
    corners : (m, 3, 3)
        Texture coordinates u and v, and a factor, 0 to 1: the opacity without a picture.
    picture : (height, width), optional
        Opacity in 255ths, times which the factor is the opacity.
    cutoff
        Opacity from which it counts as 1, and below which as 0: a cut-out. Without one the two are blended.
    """

    cutoff: float | None = None

    @classmethod
    def uniform(cls, opacity: float, faces: int, cutoff: float | None = None) -> OpacityMap:
        """Return a map of one opacity over so many faces."""
        corners = np.zeros((faces, 3, 3), np.float32)
        corners[..., 2] = opacity
        return cls(corners, cutoff=cutoff)

    def with_picture(self, coordinates: NDArray[np.float32], picture: NDArray[np.uint8]) -> OpacityMap:
        """Return the map with a picture at texture coordinates (m, 3, 2)."""
        return replace(self, corners=np.concatenate([coordinates, self.corners[..., 2:]], axis=2), picture=picture)

    def see_through_shares(self, areas: NDArray[np.float64]) -> tuple[float, float]:
        """Return the shares of a surface, by the areas (m,) of its triangles, with an opacity below 1, and of 0.

        At points spread over the area: what lies between the islands of a picture does not count.
        """
        random = np.random.default_rng(0)
        total = np.cumsum(areas)
        face = np.minimum(np.searchsorted(total, random.random(SAMPLES) * total[-1]), len(areas) - 1)
        b, c = np.sort(random.random((2, SAMPLES, 1)), axis=0)
        corners = self.corners[face]
        opacity = self._at(corners[:, 0] * (1 - c) + corners[:, 1] * b + corners[:, 2] * (c - b))
        return float((opacity < VISIBLE).mean()), float((opacity <= 1 - VISIBLE).mean())

    def _at(self, point: NDArray[np.floating[Any]]) -> NDArray[np.float64]:
        """Return the opacity at points (m, 3) of u, v and factor, by the nearest texel."""
        opacity = point[:, 2].astype(np.float64)
        if self.picture is not None:
            height, width = self.picture.shape
            column = np.floor(point[:, 0] % 1.0 * width).astype(int) % width
            row = np.floor((1.0 - point[:, 1] % 1.0) * height).astype(int) % height
            opacity *= self.picture[row, column] / 255
        return opacity if self.cutoff is None else (opacity >= self.cutoff).astype(np.float64)
