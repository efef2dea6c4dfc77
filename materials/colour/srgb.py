"""The sRGB colour space: its transfer curve, and its linear values of XYZ and of reflectance spectra."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array, frozen
from materials.light.observer import COLOUR_MATCHING, D65, D65_XYZ
from materials.light.spectra import Spectrum

from .rgb_space import xyz_to_linear_rgb

XYZ_TO_LINEAR_SRGB: Final = frozen(xyz_to_linear_rgb([(0.64, 0.33), (0.30, 0.60), (0.15, 0.06)], white=D65_XYZ))
"""(3, 3) from XYZ, white D65 at Y = 1, to linear sRGB; the white of this grid becomes (1, 1, 1) exactly. Primaries of
IEC 61966-2-1.
"""
LUMINANCE_WEIGHTS: Final = frozen(np.array([0.2126, 0.7152, 0.0722]))
"""(3,) from linear sRGB to relative luminance, as rounded in IEC 61966-2-1."""
REFLECTANCE_TO_LINEAR_SRGB: Final = frozen(XYZ_TO_LINEAR_SRGB @ (COLOUR_MATCHING * D65 / (COLOUR_MATCHING[1] @ D65)))
"""(3, 351) from a reflectance lit by D65 to linear sRGB; perfect white becomes (1, 1, 1)."""


def srgb_decode(encoded: ArrayLike) -> Array:
    """Return linear values of sRGB values, 0 to 1, any shape (IEC 61966-2-1)."""
    value = np.asarray(encoded, dtype=np.float64)
    curved = ((np.maximum(value, 0.04045) + 0.055) / 1.055) ** 2.4
    return np.where(value <= 0.04045, value / 12.92, curved)


def srgb_encode(linear: ArrayLike) -> Array:
    """Return sRGB values of linear values, 0 to 1, any shape (IEC 61966-2-1); nothing is clipped."""
    value = np.asarray(linear, dtype=np.float64)
    curved = 1.055 * np.maximum(value, 0.0031308) ** (1 / 2.4) - 0.055
    return np.where(value <= 0.0031308, 12.92 * value, curved)


def hex_colour(encoded: ArrayLike) -> str:
    """Return ``#rrggbb`` of a colour's sRGB values, (3,), 0 to 1, rounded to 8 bits."""
    red, green, blue = np.rint(255 * np.asarray(encoded, dtype=np.float64)).astype(int)
    return f"#{red:02x}{green:02x}{blue:02x}"


def linear_srgb_under_d65(reflectance: Spectrum) -> Array:
    """Return the linear sRGB colour, (3,), of a (351,) reflectance lit by D65; perfect white is (1, 1, 1)."""
    colour: Array = REFLECTANCE_TO_LINEAR_SRGB @ reflectance
    return colour
