"""The colours of a piece: one for all of it, or a colour map where they differ over it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import srgb_decode
from scenes.mesh.colour_map import plain_colour

from .colour_map import ColourMap
from .opacity_map import OpacityMap

BAKED: Final = (
    "its colours come from a picture: a scan's picture has the light of its day in it, which no lamp here takes out"
)
NORMAL_MAP: Final = "fine lines that are only in its normal map will not show: that map is not used"
NO_COORDINATES: Final = "it has a picture, but no places in it for its points"


@dataclass(frozen=True)
class Material:
    """A material of a mesh file.

    `colour` is "#rrggbb" where it is not a program's default, `picture` a file name, `opacity` a factor. The picture of
    opacity stands instead of the opacity of `picture`; an inverted one shows what is clear. `notes` are for people.
    """

    colour: str | None = None
    picture: str | None = None
    notes: tuple[str, ...] = ()
    opacity: float | None = None
    opacity_picture: str | None = None
    is_inverted: bool = False


@dataclass(frozen=True)
class Colouring:
    """The colour of a piece, as "#rrggbb", or its colour map, its opacity, and notes on what was not followed."""

    colour: str | None = None
    colour_map: ColourMap | None = None
    notes: tuple[str, ...] = ()
    opacity_map: OpacityMap | None = None


def corner_colouring(corners: NDArray[Any]) -> Colouring:
    """Return the colouring of corners (m, 3, 3 or more) in sRGB, as bytes or as numbers 0 to 1."""
    seen = corners[..., :3].astype(np.float32) / (255 if corners.dtype.kind in "ui" else 1)
    if len(seen) and (seen == seen[0, 0]).all():
        return Colouring(plain_colour(np.rint(255 * np.clip(seen[0], 0, 1)), linear=False))
    return Colouring(colour_map=ColourMap(srgb_decode(np.clip(seen, 0, 1)).astype(np.float32)))


def texture_coordinates(uv: NDArray[Any] | None, faces: NDArray[np.integer[Any]]) -> NDArray[np.float32] | None:
    """Return texture coordinates by corner (m, 3, 2), shifted near 0, of those by point (n, 2); None if not finite."""
    if uv is None or len(uv) == 0 or not np.isfinite(uv).all():
        return None
    corners = uv[faces]
    near: NDArray[np.float32] = (corners - np.floor(corners.min(axis=1, keepdims=True))).astype(np.float32)
    return near  # pictures repeat
