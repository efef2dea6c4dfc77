"""The colours of a piece: one for all of it, or a paint where they differ over it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import srgb_decode
from scenes.mesh.paint import plain_colour

from .paint import Paint
from .pictures import SEE_THROUGH, Pixels

BAKED: Final = (
    "its colours come from a picture: a scan's picture has the light of its day in it, which no lamp here takes out"
)
"""What is said where a picture is found."""
NORMAL_MAP: Final = "fine lines that are only in its normal map will not show: that map is not used"
NO_PLACES: Final = "it has a picture, but no places in it for its points"


Picture = Callable[[str, NDArray[np.float64] | None], Pixels]
"""Gives the pixels of a picture by the name of its file, times a linear colour (3,) if any."""


@dataclass(frozen=True)
class Material:
    """A material as a file has it: a colour as seen, "#rrggbb", where somebody chose one; the file name of its picture.

    And what is doubtful about it, in words.
    """

    colour: str | None = None
    picture: str | None = None
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Painted:
    """The one colour of a piece, as "#rrggbb", or its paint, and what is doubtful about them."""

    colour: str | None = None
    paint: Paint | None = None
    doubts: tuple[str, ...] = ()


def coloured(corners: NDArray[Any]) -> Painted:
    """Return what colours as seen, at corners (m, 3, 3 or more), bytes or numbers 0 to 1, come to."""
    seen = corners[..., :3].astype(np.float32) / (255 if corners.dtype.kind in "ui" else 1)
    if len(seen) and (seen == seen[0, 0]).all():
        return Painted(plain_colour(np.rint(255 * np.clip(seen[0], 0, 1)), linear=False))
    return Painted(paint=Paint(srgb_decode(np.clip(seen, 0, 1)).astype(np.float32)))


def places(uv: NDArray[Any] | None, faces: NDArray[np.integer[Any]]) -> NDArray[np.float32] | None:
    """Return the places in a picture (m, 3, 2) of points (n, 2), near 0; none where they are no numbers."""
    if uv is None or len(uv) == 0 or not np.isfinite(uv).all():
        return None
    corners = uv[faces]
    near: NDArray[np.float32] = (corners - np.floor(corners.min(axis=1, keepdims=True))).astype(np.float32)
    return near  # pictures repeat


def painted(visual: Any, faces: NDArray[np.int64], material: Material, picture: Picture) -> Painted:
    """Return what a piece's faces are painted with, as trimesh holds it; its colours are as seen."""
    if visual.kind == "texture":
        found = _textured(visual, faces, material, picture)
        return replace(found, doubts=(*material.doubts, *found.doubts))
    if visual.kind in ("vertex", "face"):
        rows = np.asarray(getattr(visual, f"{visual.kind}_colors"))
        return coloured(rows[faces] if visual.kind == "vertex" else np.repeat(rows[:, None], 3, axis=1))
    return Painted()


def _textured(visual: Any, faces: NDArray[np.int64], material: Material, picture: Picture) -> Painted:
    colour = material.colour
    if material.picture is None:
        at_points = visual.vertex_attributes.get("color")
        if at_points is not None and len(at_points):
            found = coloured(np.asarray(at_points)[faces])
            if found.paint is not None:
                return Painted(paint=Paint((found.paint.corners * _tint(colour)).astype(np.float32)))
        return Painted(colour)
    tint = None if colour in (None, "#000000") else _tint(colour)  # black is what nobody chose beside a picture
    laid = picture(material.picture, tint)
    corners = places(visual.uv, faces)
    if laid.pixels is None or corners is None:
        return Painted(colour, doubts=laid.doubts if laid.pixels is None else (NO_PLACES,))
    holes = (SEE_THROUGH,) if laid.is_see_through else ()
    return Painted(paint=Paint(corners, laid.pixels), doubts=(*laid.doubts, *holes, BAKED))


def _tint(colour: str | None) -> NDArray[np.float64]:
    return np.ones(3) if colour is None else srgb_decode([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
