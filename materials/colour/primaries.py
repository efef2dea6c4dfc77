"""Spectral upsampling of pictures: three reflectance primaries, of which each texel takes its share.

Upsampling by them is linear in linear sRGB, so it commutes with interpolation and mixing: a texel, a vertex colour and
every value between them keep their colour, and no surface reflects more light than arrives.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from materials.arrays import Array, frozen
from materials.light.observer import WAVELENGTHS_NM
from materials.packaged import packaged_columns

from .srgb import linear_srgb_under_d65


@cache
def spectral_primaries() -> Array:
    """Return the reflectances of linear sRGB red, green and blue, (3, 351), within 0 to 1.

    The spectral primaries of Mallett and Yuksel ("Spectral primary decomposition for rendering with sRGB
    reflectance", 2019), recombined so that each has its colour under D65 on this grid; together they are white.
    """
    table = packaged_columns("materials.colour", "data/primaries.csv")
    published = np.array(
        [np.interp(WAVELENGTHS_NM, table["wavelength_nm"], table[name]) for name in ("red", "green", "blue")]
    )
    published /= published.sum(axis=0)
    colours = np.array([linear_srgb_under_d65(reflectance) for reflectance in published])
    mixed = np.clip(np.linalg.solve(colours, published), 0.0, None)
    return frozen(mixed / mixed.sum(axis=0))
