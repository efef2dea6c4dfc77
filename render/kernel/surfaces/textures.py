"""Colours that a mesh brings along and washes over them, in the kernel: looked up where a path meets the mesh."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.colour.primaries import spectral_primaries
from materials.colour.srgb import linear_srgb_under_d65, srgb_decode
from materials.light.observer import WAVELENGTHS_NM
from render.description.scene import Surface
from render.kernel.backend import mitsuba
from render.kernel.scene import Vertex, traced_order
from render.kernel.wavelengths import Wavelengths, spectrum_table

BASE, COLOURS, PICTURE = range(3)
"""What stands at the corners of a surface: nothing, linear sRGB, or a place in a picture."""


def painting(surfaces: Sequence[Surface], wavelengths: int) -> Painting | None:
    """Return the paint and the washes of surfaces, None where there are none: then nothing is looked up."""
    if not any(s.paint is not None or s.washed is not None for s in surfaces):
        return None
    return Painting(surfaces, wavelengths)


@dataclass
class _Found:
    """Whether lanes met paint, its linear sRGB, and how much of a wash covers it or the bare surface."""

    painted: Any
    colour: Any
    cover: Any


class Painting:
    """The paint and the washes of surfaces, as tables that lanes look up."""

    def __init__(self, surfaces: Sequence[Surface], wavelengths: int) -> None:
        mi = mitsuba()
        pictures = {id(s.paint.picture): s.paint.picture for s in surfaces if s.paint and s.paint.picture is not None}
        starts = dict(
            zip(pictures, np.cumsum([0, *(p.shape[0] * p.shape[1] for p in pictures.values())]), strict=False)
        )
        texels = [_packed(picture) for picture in pictures.values()] or [np.zeros(1, np.uint32)]
        self._texels = mi.UInt32(np.concatenate(texels))
        self._decoded = mi.Float(srgb_decode(np.arange(256) / 255).astype(np.float32))
        self._primaries = mi.Float(spectrum_table(list(spectral_primaries()), wavelengths).ravel())
        washes = [np.zeros(WAVELENGTHS_NM.size) if s.washed is None else s.washed.colour for s in surfaces]
        self._washes = mi.Float(spectrum_table(washes, wavelengths).ravel())
        self._wash_colours = mi.Float(
            np.array([[*linear_srgb_under_d65(wash), 0.0] for wash in washes], dtype=np.float32).ravel()
        )
        rows, corners = _rows_and_corners(surfaces, starts)
        self._rows, self._corners = mi.UInt32(rows.ravel()), mi.Float(corners.ravel())
        self._slots = spectrum_table(list(spectral_primaries()), wavelengths).shape[1]

    def over(self, base: list[Any], vertex: Vertex, surface: Any, wavelengths: Wavelengths, active: Any) -> list[Any]:
        """Return the reflectance of each lane's surface where it is met, `base` where it has no paint."""
        import drjit as dr

        found = self._met(vertex, surface, active)
        red, green, blue = found.colour
        shares = [self._spectra(self._primaries, i, wavelengths) for i in range(3)]
        wash = self._spectra(self._washes, surface, wavelengths)
        colours = [
            dr.select(found.painted, red * r + green * g + blue * b, colour)
            for r, g, b, colour in zip(*shares, base, strict=True)
        ]
        return [dr.lerp(colour, thin, found.cover) for colour, thin in zip(colours, wash, strict=True)]

    def colour_over(self, base: Any, vertex: Vertex, surface: Any, active: Any) -> Any:
        """Return the linear sRGB of each lane's surface where it is met, `base` where it has no paint."""
        import drjit as dr

        mi = mitsuba()
        found = self._met(vertex, surface, active)
        x, y, z, _ = dr.gather(mi.Vector4f, self._wash_colours, surface, active)
        return dr.lerp(dr.select(found.painted, found.colour, base), mi.Vector3f(x, y, z), found.cover)

    def _met(self, vertex: Vertex, surface: Any, active: Any) -> _Found:
        """Return what is painted where a surface is met."""
        import drjit as dr

        mi = mitsuba()
        first_face, first_corner, own, kind = dr.gather(mi.Vector4u, self._rows, 2 * surface, active)
        start, width, height, _ = dr.gather(mi.Vector4u, self._rows, 2 * surface + 1, active)
        active = active & (own > 0)
        at = dr.select(active, 3 * (first_corner + vertex.face - first_face), 0)
        b, c = vertex.within
        corners = [dr.gather(mi.Vector4f, self._corners, at + i, active) for i in range(3)]
        x, y, z, cover = corners[0] * (1.0 - b - c) + corners[1] * b + corners[2] * c
        texel = self._texel(x, y, (start, width, height), active & (kind == PICTURE))
        colour = dr.select(kind == PICTURE, texel, mi.Vector3f(x, y, z))
        return _Found(active & (kind != BASE), colour, dr.select(active, cover, 0.0))

    def _spectra(self, table: Any, row: Any, wavelengths: Wavelengths) -> list[Any]:
        """Return the values of a row of a table at a path's wavelengths."""
        import drjit as dr

        mi = mitsuba()
        start = (mi.UInt32(row) * self._slots + wavelengths.slot) * (wavelengths.count // 4)
        groups = [dr.gather(mi.Vector4f, table, start + i) for i in range(wavelengths.count // 4)]
        return [value for group in groups for value in group]

    def _texel(self, u: Any, v: Any, picture: tuple[Any, Any, Any], active: Any) -> Any:
        """Return the linear sRGB at a place in a picture, from the bottom up, between its four nearest texels.

        A picture is its first texel, its width and its height.
        """
        import drjit as dr

        mi = mitsuba()
        start, width, height = picture
        across, down = (mi.Float(dr.maximum(size, 1)) for size in (width, height))
        x, y = (u - dr.floor(u)) * across - 0.5, (dr.ceil(v) - v) * down - 0.5
        left, upper = dr.floor(x), dr.floor(y)
        found = mi.Vector3f(0.0)
        for right, lower in ((0, 0), (1, 0), (0, 1), (1, 1)):
            column, row = _wrapped(left + right, across), _wrapped(upper + lower, down)
            texel = dr.gather(mi.UInt32, self._texels, start + row * width + column, active)
            weight = (x - left if right else 1.0 - (x - left)) * (y - upper if lower else 1.0 - (y - upper))
            for i in range(3):
                found[i] += weight * dr.gather(mi.Float, self._decoded, (texel >> (8 * i)) & 255, active)
        return found


def _wrapped(place: Any, size: Any) -> Any:
    """Return a whole number within 0 to below `size`, repeating."""
    import drjit as dr

    return mitsuba().UInt32(place - dr.floor(place / size) * size)


def _packed(picture: NDArray[np.uint8]) -> NDArray[np.uint32]:
    red, green, blue = (picture[..., i].astype(np.uint32) for i in range(3))
    return np.asarray(red | (green << 8) | (blue << 16), np.uint32).ravel()


def _placed(surface: Surface, starts: dict[int, int]) -> tuple[int, int, int, int]:
    """Return what stands at a surface's corners, and of a picture where it starts, its width and its height."""
    paint = surface.paint
    if paint is None:
        return BASE, 0, 1, 1
    if paint.picture is None:
        return COLOURS, 0, 1, 1
    height, width = paint.picture.shape[:2]
    return PICTURE, int(starts[id(paint.picture)]), width, height


def _rows_and_corners(
    surfaces: Sequence[Surface], starts: dict[int, int]
) -> tuple[NDArray[np.uint32], NDArray[np.float32]]:
    """Return for each surface its first face, its first corners, whether it has any, and what `_placed` does; (n, 8).

    And what stands at the corners of those that have any, (faces, 3, 4).
    """
    rows = np.zeros((len(surfaces), 8), np.uint32)
    corners, face, corner = [np.zeros((1, 3, 4), np.float32)], 0, 1
    for i in traced_order(surfaces):
        surface = surfaces[i]
        own = surface.paint is not None or surface.washed is not None
        rows[i, :7] = (face, corner if own else 0, own, *_placed(surface, starts))
        face += len(surface.faces)
        if own:
            corners.append(_corners(surface))
            corner += len(surface.faces)
    return rows, np.concatenate(corners)


def _corners(surface: Surface) -> NDArray[np.float32]:
    """Return what stands at the corners, (m, 3, 4): a colour or a place, and how much of a wash."""
    corners = np.zeros((len(surface.faces), 3, 4), np.float32)
    if surface.paint is not None:
        corners[..., : surface.paint.corners.shape[-1]] = surface.paint.corners
    if surface.washed is not None:
        corners[..., 3] = surface.washed.cover
    return corners
