"""The colours of a piece: one for all of it, or a colour map where they differ over it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import srgb_decode
from scenes.mesh.colour_map import plain_colour

from .colour_map import ColourMap
from .opacity_map import OpacityMap
from .pictures import SEE_THROUGH, Pixels

BAKED: Final = (
    "its colours come from a picture: a scan's picture has the light of its day in it, which no lamp here takes out"
)
NORMAL_MAP: Final = "fine lines that are only in its normal map will not show: that map is not used"
NO_COORDINATES: Final = "it has a picture, but no places in it for its points"


Picture = Callable[[str, NDArray[np.float64] | None], Pixels]
"""From the name of a picture's file and a linear colour (3,) or None to its pixels, each times the colour."""


@dataclass(frozen=True)
class Material:
    """A material of a mesh file.

    `colour` is "#rrggbb" where it is not a program's default, `picture` a file name, `doubts` are notes for people.
    """

    colour: str | None = None
    picture: str | None = None
    notes: tuple[str, ...] = ()


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


def visual_colouring(visual: Any, faces: NDArray[np.int64], material: Material, picture: Picture) -> Colouring:
    """Return the colouring of faces (m, 3) from a trimesh visual, whose colours are sRGB."""
    if visual.kind == "texture":
        found = _textured(visual, faces, material, picture)
        return replace(found, notes=(*material.notes, *found.notes))
    if visual.kind in ("vertex", "face"):
        rows = np.asarray(getattr(visual, f"{visual.kind}_colors"))
        return corner_colouring(rows[faces] if visual.kind == "vertex" else np.repeat(rows[:, None], 3, axis=1))
    return Colouring()


def _textured(visual: Any, faces: NDArray[np.int64], material: Material, picture: Picture) -> Colouring:
    colour = material.colour
    if material.picture is None:
        at_points = visual.vertex_attributes.get("color")
        if at_points is not None and len(at_points):
            found = corner_colouring(np.asarray(at_points)[faces])
            if found.colour_map is not None:
                return Colouring(colour_map=ColourMap((found.colour_map.corners * _tint(colour)).astype(np.float32)))
        return Colouring(colour)
    tint = None if colour in (None, "#000000") else _tint(colour)  # beside a picture black is a default
    pixels = picture(material.picture, tint)
    corners = texture_coordinates(visual.uv, faces)
    if pixels.pixels is None or corners is None:
        return Colouring(colour, notes=pixels.notes if pixels.pixels is None else (NO_COORDINATES,))
    holes = (SEE_THROUGH,) if pixels.is_see_through else ()
    return Colouring(colour_map=ColourMap(corners, pixels.pixels), notes=(*pixels.notes, *holes, BAKED))


def _tint(colour: str | None) -> NDArray[np.float64]:
    return np.ones(3) if colour is None else srgb_decode([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
