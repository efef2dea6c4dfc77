"""Vertex colours, bitmaps and washes of surfaces, packed into the arrays that `textures` looks up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Surface

UNTEXTURED, VERTEX_COLOURS, BITMAP = range(3)
"""What the corners of a surface's triangles carry: nothing, linear sRGB, or texture coordinates."""


def texel_data(surfaces: Sequence[Surface]) -> tuple[NDArray[np.uint32], dict[int, int]]:
    """Return the texels of all bitmaps, 8 bits a channel, red lowest, and the first texel of each by its `id`."""
    maps = [surface.colour_map for surface in surfaces if surface.colour_map is not None]
    bitmaps = {id(colours.picture): colours.picture for colours in maps if colours.picture is not None}
    starts = np.cumsum([0, *(bitmap.shape[0] * bitmap.shape[1] for bitmap in bitmaps.values())])
    texels = [_packed(bitmap) for bitmap in bitmaps.values()] or [np.zeros(1, np.uint32)]
    return np.concatenate(texels), {key: int(start) for key, start in zip(bitmaps, starts, strict=False)}


def corner_data(
    surfaces: Sequence[Surface], first_texel: Mapping[int, int]
) -> tuple[NDArray[np.uint32], NDArray[np.float32]]:
    """Return the rows and corners of a `CornerTable`: a colour, or u and v, and the coverage by a wash."""
    rows = np.zeros((len(surfaces), 8), np.uint32)
    corners, mesh_triangle, corner_triangle = [np.zeros((1, 3, 4), np.float32)], 0, 1
    for i, surface in enumerate(surfaces):
        has_corners = surface.colour_map is not None or surface.wash is not None
        start = corner_triangle if has_corners else 0
        rows[i, :7] = (mesh_triangle, start, has_corners, *_kind_and_bitmap(surface, first_texel))
        mesh_triangle += len(surface.faces)
        if has_corners:
            corners.append(_corners(surface))
            corner_triangle += len(surface.faces)
    return rows, np.concatenate(corners)


def _packed(bitmap: NDArray[np.uint8]) -> NDArray[np.uint32]:
    red, green, blue = (bitmap[..., i].astype(np.uint32) for i in range(3))
    return np.asarray(red | (green << 8) | (blue << 16), np.uint32).ravel()


def _kind_and_bitmap(surface: Surface, first_texel: Mapping[int, int]) -> tuple[int, int, int, int]:
    """Return the kind of texture, and the first texel, the width and the height of a bitmap."""
    colour_map = surface.colour_map
    if colour_map is None:
        return UNTEXTURED, 0, 1, 1
    if colour_map.picture is None:
        return VERTEX_COLOURS, 0, 1, 1
    height, width = colour_map.picture.shape[:2]
    return BITMAP, first_texel[id(colour_map.picture)], width, height


def _corners(surface: Surface) -> NDArray[np.float32]:
    corners = np.zeros((len(surface.faces), 3, 4), np.float32)
    if surface.colour_map is not None:
        corners[..., : surface.colour_map.corners.shape[-1]] = surface.colour_map.corners
    if surface.wash is not None:
        corners[..., 3] = surface.wash.coverage
    return corners
