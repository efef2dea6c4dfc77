"""The opacity of surfaces in the kernel: the fraction of the light that does not go straight through."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Surface
from render.kernel.backend import mitsuba
from render.kernel.surface_point import SurfacePoint
from render.kernel.tables import float_table, integer_table

from .corner_values import CornerTable
from .texels import bilinear_texels

BLENDED = -1.0
"""Stands for the cutoff of a surface that has none."""
TEXELS_A_WORD = 4


class Opacities:
    """The opacity maps of surfaces, as tables that lanes look up."""

    def __init__(self, surfaces: Sequence[Surface]) -> None:
        words, first_texel = _words(surfaces)
        rows, corners = _rows_and_corners(surfaces, first_texel)
        self._words, self._corners = integer_table(words), CornerTable(rows, corners)
        cutoffs = [BLENDED if s.opacity_map is None else s.opacity_map.cutoff for s in surfaces]
        self._cutoffs = float_table([BLENDED if c is None else c for c in cutoffs])

    @classmethod
    def of(cls, surfaces: Sequence[Surface]) -> Opacities | None:
        """Return the opacities of surfaces, None where all are opaque: then nothing is looked up."""
        return cls(surfaces) if any(surface.opacity_map is not None for surface in surfaces) else None

    def lookup(self, point: SurfacePoint, surface: Any, active: Any) -> Any:
        """Return the opacity at points of surfaces, 1 of those without a map."""
        import drjit as dr

        mi = mitsuba()
        found = self._corners.lookup(point, surface, active)
        active, (first_texel, width, height) = found.has_values, found.bitmap
        u, v, factor, _ = found.values
        opacity = mi.Float(0.0)
        for texel, weight in bilinear_texels(u, v, width, height):
            at = first_texel + texel
            word = dr.gather(mi.UInt32, self._words, at // TEXELS_A_WORD, active)
            opacity += weight * mi.Float((word >> (8 * (at % TEXELS_A_WORD))) & 255)
        opacity = factor * opacity / 255.0
        cutoff = dr.gather(mi.Float, self._cutoffs, surface, active)
        opacity = dr.select(cutoff >= 0.0, dr.select(opacity >= cutoff, 1.0, 0.0), dr.clip(opacity, 0.0, 1.0))
        return dr.select(active, opacity, 1.0)


def _words(surfaces: Sequence[Surface]) -> tuple[NDArray[np.uint32], dict[int, int]]:
    """Return the texels of all pictures, four a word, the lowest first, and the first texel of each by its `id`.

    The texel before them is opaque: that of surfaces without a picture.
    """
    maps = [surface.opacity_map for surface in surfaces if surface.opacity_map is not None]
    pictures = {id(opacity.picture): opacity.picture for opacity in maps if opacity.picture is not None}
    starts = np.cumsum([1, *(picture.size for picture in pictures.values())])
    texels = np.concatenate([np.array([255], np.uint8), *(picture.ravel() for picture in pictures.values())])
    padded = np.pad(texels, (0, -len(texels) % TEXELS_A_WORD))
    first = {key: int(start) for key, start in zip(pictures, starts, strict=False)}
    return padded.view("<u4").astype(np.uint32), first


def _rows_and_corners(
    surfaces: Sequence[Surface], first_texel: dict[int, int]
) -> tuple[NDArray[np.uint32], NDArray[np.float32]]:
    """Return the rows and corners of a `CornerTable`: u, v and the factor of the opacity; the kind is unused."""
    rows = np.zeros((len(surfaces), 8), np.uint32)
    corners, mesh_triangle, corner_triangle = [np.zeros((1, 3, 4), np.float32)], 0, 1
    for i, surface in enumerate(surfaces):
        opacity_map = surface.opacity_map
        if opacity_map is not None:
            picture = opacity_map.picture
            height, width = (1, 1) if picture is None else picture.shape
            rows[i, :7] = (mesh_triangle, corner_triangle, 1, 0, first_texel.get(id(picture), 0), width, height)
            corners.append(np.pad(opacity_map.corners, ((0, 0), (0, 0), (0, 1))))
            corner_triangle += len(opacity_map.corners)
        mesh_triangle += len(surface.faces)
    return rows, np.concatenate(corners)
