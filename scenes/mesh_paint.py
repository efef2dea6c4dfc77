"""The colours of a mesh as trimesh holds them: one for a whole piece, or a paint where they differ over it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.colours import srgb_decode, srgb_encode

from .errors import InputError
from .paint import Paint
from .shading import plain_colour

MOST_PIXELS: Final = 150_000_000
"""Of a picture that is opened at all."""
LARGEST_SIDE: Final = 4096
"""Of a picture, pixels, that is kept."""
BAKED = "its colours come from a picture: a scan's has the light of its day in it, and flatten = 0.7 takes much out"
"""What is said where a picture is found."""
NORMAL_MAP = "fine lines that are only in its normal map will not show: that map is not used"


@dataclass(frozen=True)
class Painted:
    """The one colour of a piece, as "#rrggbb", or its paint, and what is doubtful about them."""

    colour: str | None = None
    paint: Paint | None = None
    doubts: tuple[str, ...] = ()


def painted(visual: Any, faces: NDArray[np.int64], *, linear: bool) -> Painted:
    """Return what a piece's faces are painted with; colours of corners are linear in `linear` files, else as seen."""
    if visual.kind == "texture":
        return _textured(visual, faces, linear=linear)
    if visual.kind in ("vertex", "face"):
        rows = np.asarray(getattr(visual, f"{visual.kind}_colors"))
        if len(rows) and (rows[:, :3] == rows[0, :3]).all():
            return Painted(plain_colour(rows, linear=linear))
        corners = rows[faces] if visual.kind == "vertex" else np.repeat(rows[:, None], 3, axis=1)
        return Painted(paint=Paint(_linear(corners[..., :3], linear=linear)))
    return Painted()


def _textured(visual: Any, faces: NDArray[np.int64], *, linear: bool) -> Painted:
    material = visual.material
    picture = getattr(material, "image", None) or getattr(material, "baseColorTexture", None)
    chosen = getattr(material, "diffuse", None)
    chosen = getattr(material, "baseColorFactor", None) if chosen is None else chosen
    doubts = (NORMAL_MAP,) if getattr(material, "normalTexture", None) is not None else ()
    colour = None if chosen is None else plain_colour(np.asarray(chosen)[None], linear=linear)
    if picture is None:
        return _by_corners(visual, faces, colour, linear=linear) or Painted(colour, doubts=doubts)
    if visual.uv is None or not np.isfinite(visual.uv).all():
        return Painted(colour, doubts=(*doubts, "it has a picture, but no places in it for its points"))
    pixels = _pixels(picture)
    factor = None if chosen is None else np.asarray(chosen, dtype=np.float64)[:3] / 255
    if linear and factor is not None and (factor < 1).any():
        pixels = np.rint(255 * srgb_encode(srgb_decode(pixels / 255) * factor)).astype(np.uint8)
    corners = np.asarray(visual.uv, np.float32)[faces]
    corners -= np.floor(corners.min(axis=1, keepdims=True))  # pictures repeat; near 0 there are digits to spare
    return Painted(paint=Paint(corners, pixels), doubts=(*doubts, BAKED))


def _by_corners(visual: Any, faces: NDArray[np.int64], colour: str | None, *, linear: bool) -> Painted | None:
    """Return the colours that a mesh has at its points beside a material without a picture, none where it has none."""
    rows = getattr(visual, "vertex_attributes", {}).get("color")
    if rows is None or len(rows) == 0 or (rows[:, :3] == rows[0, :3]).all():
        return None
    values = _linear(np.asarray(rows)[faces][..., :3], linear=linear)
    tint = 1.0 if colour is None else srgb_decode([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return Painted(paint=Paint((values * tint).astype(np.float32)))


def _linear(colours: NDArray[Any], *, linear: bool) -> NDArray[np.float32]:
    """Return linear sRGB, 0 to 1, of bytes or of numbers from 0 to 1."""
    values = colours.astype(np.float32)
    if colours.dtype.kind in "ui":
        values /= 255
    values = np.clip(values, 0.0, 1.0)
    return values if linear else srgb_decode(values).astype(np.float32)


def _pixels(picture: Any) -> NDArray[np.uint8]:
    """Return (height, width, 3) sRGB bytes of an opened picture, halved until it is not too large."""
    width, height = picture.size
    if width * height > MOST_PIXELS:
        raise InputError(f"a picture of {width} x {height} pixels is too large: save it smaller, up to 4096 a side")
    pixels = picture.convert("RGB")
    steps = max(1, -(-max(width, height) // LARGEST_SIDE))
    return np.asarray(pixels.reduce(steps) if steps > 1 else pixels, dtype=np.uint8)
