"""The colours and the opacity of meshes as the mesh library reads them, with the materials of their file."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final, Protocol

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from materials.colour.srgb import srgb_decode
from scenes.mesh.colour_map import ColourMap
from scenes.mesh.colouring import BAKED, NO_COORDINATES, Colouring, Material, corner_colouring, texture_coordinates
from scenes.mesh.opacity_map import OpacityMap
from scenes.mesh.pictures import Pixels

from .opacity import effective

HOLES: Final = "light goes through the clear places of its picture: save that without transparency if it should not"
POINT_ALPHA: Final = "the alpha of the colours at its points is not followed: scanners write anything there"


class Pictures(Protocol):
    """The pictures that a mesh file names."""

    def pixels(self, name: str, tint: NDArray[np.float64] | None) -> Pixels:
        """Return the pixels of a picture, each times a linear colour (3,)."""

    def opacity(self, name: str, *, is_inverted: bool) -> NDArray[np.uint8] | None:
        """Return the opacity that a picture has or shows, None where it cannot be read."""

    def without_fringe(self, picture: NDArray[np.uint8], opacity: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return a picture whose clear texels have the colour of the opaque ones next to them."""


def visual_colouring(
    visual: Any, faces: NDArray[np.int64], areas: Vector, material: Material, pictures: Pictures
) -> Colouring:
    """Return the colouring of faces (m, 3) of some areas (m,) from a trimesh visual, whose colours are sRGB."""
    if visual.kind == "texture":
        found = _textured(visual, faces, material, pictures)
        opacity_map, notes = effective(_opacity_map(visual, faces, material, pictures), areas)
        if opacity_map is not None:
            found = _with_opacity(found, opacity_map, pictures)
            is_own = opacity_map.picture is not None and material.opacity_picture is None
            notes = (HOLES, *notes) if is_own else notes
        return replace(found, notes=(*material.notes, *found.notes, *notes))
    if visual.kind in ("vertex", "face"):
        rows = np.asarray(getattr(visual, f"{visual.kind}_colors"))
        found = corner_colouring(rows[faces] if visual.kind == "vertex" else np.repeat(rows[:, None], 3, axis=1))
        has_alpha = rows.shape[-1] == 4 and len(rows) > 0 and rows[:, 3].min() < rows[:, 3].dtype.type(255)
        return replace(found, notes=(*found.notes, POINT_ALPHA)) if has_alpha else found
    return Colouring()


def _textured(visual: Any, faces: NDArray[np.int64], material: Material, pictures: Pictures) -> Colouring:
    colour = material.colour
    if material.picture is None:
        at_points = visual.vertex_attributes.get("color")
        if at_points is not None and len(at_points):
            found = corner_colouring(np.asarray(at_points)[faces])
            if found.colour_map is not None:
                return Colouring(colour_map=ColourMap((found.colour_map.corners * _tint(colour)).astype(np.float32)))
        return Colouring(colour)
    tint = None if colour in (None, "#000000") else _tint(colour)  # beside a picture black is a default
    pixels = pictures.pixels(material.picture, tint)
    corners = texture_coordinates(visual.uv, faces)
    if pixels.pixels is None or corners is None:
        return Colouring(colour, notes=pixels.notes if pixels.pixels is None else (NO_COORDINATES,))
    return Colouring(colour_map=ColourMap(corners, pixels.pixels), notes=(*pixels.notes, BAKED))


def _opacity_map(visual: Any, faces: NDArray[np.int64], material: Material, pictures: Pictures) -> OpacityMap:
    """Return the opacity of faces by their material: by its picture of holes, else by the alpha of its picture."""
    opacity_map = OpacityMap.uniform(1.0 if material.opacity is None else material.opacity, len(faces))
    picture = None
    if material.opacity_picture is not None:
        picture = pictures.opacity(material.opacity_picture, is_inverted=material.is_inverted)
    elif material.picture is not None:
        picture = pictures.pixels(material.picture, None).opacity
    corners = texture_coordinates(visual.uv, faces)
    return opacity_map if picture is None or corners is None else opacity_map.with_picture(corners, picture)


def _with_opacity(found: Colouring, opacity_map: OpacityMap, pictures: Pictures) -> Colouring:
    """Return a colouring with an opacity, its picture without a fringe."""
    found = replace(found, opacity_map=opacity_map)
    colour_map = found.colour_map
    if opacity_map.picture is None or colour_map is None or colour_map.picture is None:
        return found
    bled = pictures.without_fringe(colour_map.picture, opacity_map.picture)
    return replace(found, colour_map=replace(colour_map, picture=bled))


def _tint(colour: str | None) -> NDArray[np.float64]:
    return np.ones(3) if colour is None else srgb_decode([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
