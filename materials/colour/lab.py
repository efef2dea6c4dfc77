"""CIE 1976 L*a*b* (ISO/CIE 11664-4)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array
from materials.light.observer import COLOUR_MATCHING, D65, D65_XYZ
from materials.light.spectra import Spectrum

_EDGE: Final = 6 / 29
"""Below this cube root of Y the curve is a straight line."""


def lab_to_xyz(lab: Sequence[float] | Array, white: Array = D65_XYZ) -> Array:
    """Return XYZ, (3,), of Lab values under a white, XYZ of Y = 1; ValueError if L lies outside 0 to 100."""
    lightness, a, b = lab
    if not 0 <= lightness <= 100:
        raise ValueError(f"L of Lab lies between 0 and 100, not at {lightness:g}")
    fy = (lightness + 16) / 116
    f = np.array([fy + a / 500, fy, fy - b / 200])
    return np.asarray(white * np.where(f > _EDGE, f**3, 3 * _EDGE**2 * (f - 4 / 29)))


def xyz_to_lab(xyz: Array) -> Array:
    """Return Lab under D65, (3,), of XYZ, white D65 at Y = 1."""
    x, y, z = _compressed(xyz / D65_XYZ)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


def lightness(luminance: NDArray[Any]) -> NDArray[Any]:
    """Return the CIE 1976 lightness L*, 0 to 100, of luminance relative to white; of any shape and precision."""
    return np.asarray(116 * _compressed(luminance) - 16)


def _compressed(ratio: NDArray[Any]) -> NDArray[Any]:
    """Return the cube root, with a straight line near black."""
    return np.where(ratio > _EDGE**3, np.cbrt(ratio), ratio / (3 * _EDGE**2) + 4 / 29)


def reflectance_to_lab(reflectance: Spectrum) -> Array:
    """Return Lab, (3,), of a (351,) reflectance under D65."""
    return xyz_to_lab(COLOUR_MATCHING @ (D65 * reflectance) / (COLOUR_MATCHING[1] @ D65))
