"""Colours of a surface that vary over it, in the kernel: vertex colours, bitmaps, and washes over either."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from materials.colour.srgb import linear_srgb_under_d65, srgb_decode
from materials.light.observer import WAVELENGTHS_NM
from materials.surface.saunderson import wetted
from render.description.scene import Surface
from render.kernel.backend import mitsuba
from render.kernel.paths.wavelengths import SampledWavelengths
from render.kernel.surface_point import SurfacePoint
from render.kernel.tables import float_table, integer_table

from .corner_values import CornerTable
from .texels import bilinear_texels
from .texture_data import BITMAP, UNTEXTURED, corner_data, texel_data
from .upsampling import Upsampling


@dataclass
class _Texture:
    """Whether lanes have a texture, its linear sRGB, and the coverage by a wash of it or of the plain surface.

    `internal_reflectance` is that of a clear coat by which the texture is wetted, 0 without one.
    """

    is_textured: Any
    colour: Any
    internal_reflectance: Any
    wash_coverage: Any


class Textures:
    """The vertex colours, bitmaps and washes of surfaces, as tables that lanes look up."""

    def __init__(self, surfaces: Sequence[Surface], wavelengths: int) -> None:
        texels, first_texel = texel_data(surfaces)
        rows, corners = corner_data(surfaces, first_texel)
        self._texels, self._corners = integer_table(texels), CornerTable(rows, corners)
        self._decoded = float_table(srgb_decode(np.arange(256) / 255))
        self._upsampling = Upsampling(wavelengths)
        inside = [0.0 if s.colour_map is None else s.colour_map.internal_reflectance for s in surfaces]
        self._internal_reflectances = float_table(inside) if any(inside) else None
        black = np.zeros(WAVELENGTHS_NM.size)
        washes = [black if s.wash is None else s.wash.finish.base for s in surfaces]
        wash_colours = [[*linear_srgb_under_d65(wash), 0.0] for wash in washes]
        self._wash_colours = float_table(wash_colours)

    @classmethod
    def of(cls, surfaces: Sequence[Surface], wavelengths: int) -> Textures | None:
        """Return the textures of surfaces, None where there are none: then nothing is looked up."""
        has_any = any(surface.colour_map is not None or surface.wash is not None for surface in surfaces)
        return cls(surfaces, wavelengths) if has_any else None

    def reflectance(
        self, plain: list[Any], point: SurfacePoint, surface: Any, wavelengths: SampledWavelengths, active: Any
    ) -> list[Any]:
        """Return the reflectance at points of surfaces, at each wavelength; `plain` is that of the finish alone.

        A wash is left out: it is a finish of its own.
        """
        import drjit as dr

        texture = self._lookup(point, surface, active)
        bare = self._upsampling.reflectance(texture.colour, wavelengths)
        return [
            dr.select(texture.is_textured, self._wetted(own, texture), value)
            for own, value in zip(bare, plain, strict=True)
        ]

    def wash_coverage(self, point: SurfacePoint, surface: Any, active: Any) -> Any:
        """Return the fraction of the surface about each point that a wash covers."""
        return self._lookup(point, surface, active).wash_coverage

    def linear_srgb(self, plain: Any, point: SurfacePoint, surface: Any, active: Any) -> Any:
        """Return the linear sRGB at points of surfaces, washes included; `plain` is that of the finish alone."""
        import drjit as dr

        mi = mitsuba()
        texture = self._lookup(point, surface, active)
        red, green, blue, _ = dr.gather(mi.Vector4f, self._wash_colours, surface, active)
        textured = dr.select(texture.is_textured, self._wetted(texture.colour, texture), plain)
        return dr.lerp(textured, mi.Vector3f(red, green, blue), texture.wash_coverage)

    def _lookup(self, point: SurfacePoint, surface: Any, active: Any) -> _Texture:
        import drjit as dr

        mi = mitsuba()
        found = self._corners.lookup(point, surface, active)
        active = found.has_values
        x, y, z, wash_coverage = found.values
        texel = self._texel(x, y, found.bitmap, active & (found.kind == BITMAP))
        colour = dr.select(found.kind == BITMAP, texel, mi.Vector3f(x, y, z))
        inside: Any = 0.0
        if self._internal_reflectances is not None:
            inside = dr.gather(mi.Float, self._internal_reflectances, surface, active)
        return _Texture(active & (found.kind != UNTEXTURED), colour, inside, dr.select(active, wash_coverage, 0.0))

    def _wetted(self, bare: Any, texture: _Texture) -> Any:
        """Return reflectances of a texture, wetted where there is a surface that is."""
        return bare if self._internal_reflectances is None else wetted(bare, texture.internal_reflectance)

    def _texel(self, u: Any, v: Any, bitmap: tuple[Any, Any, Any], active: Any) -> Any:
        """Return the linear sRGB of a bitmap at (u, v), v upwards, interpolated bilinearly and repeating."""
        import drjit as dr

        mi = mitsuba()
        first, width, height = bitmap
        colour = mi.Vector3f(0.0)
        for index, weight in bilinear_texels(u, v, width, height):
            texel = dr.gather(mi.UInt32, self._texels, first + index, active)
            for i in range(3):
                colour[i] += weight * dr.gather(mi.Float, self._decoded, (texel >> (8 * i)) & 255, active)
        return colour
