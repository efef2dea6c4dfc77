"""Spectral upsampling: a reflectance for a colour, as pigments are likely to have it; greys are constant."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array, frozen
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum

from .likely_reflectance import likely_reflectance
from .sigmoid_reflectance import sigmoid_reflectance
from .srgb import linear_srgb_under_d65, srgb_decode

HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")
"""How an sRGB colour is written."""
_TOLERANCE: Final = 1e-6


@lru_cache(maxsize=512)
def reflectance_from_hex(colour: str) -> Spectrum:
    """Return a reflectance, (351,) within 0 to 1, read-only, that has an sRGB colour under D65.

    Parameters
    ----------
    colour
        ``#rrggbb``. Linear sRGB under D65 comes back within 1e-6 everywhere, the corners of the gamut included.

    Raises
    ------
    ValueError
        If `colour` is not of that form.
    """
    if not (isinstance(colour, str) and HEX.fullmatch(colour)):
        raise ValueError(f"a colour is written #rrggbb, six hexadecimal digits such as #b5833c, not {colour!r}")
    return reflectance_from_linear_srgb(srgb_decode([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]))


def reflectance_from_linear_srgb(linear: ArrayLike) -> Spectrum:
    """Return a reflectance, (351,) within 0 to 1, read-only, of a linear sRGB colour under D65, (3,).

    The colour may lie outside of sRGB. Near the limits of what surfaces can have, where no measured one comes, it is a
    sigmoid.

    Raises
    ------
    ValueError
        If no reflectance of either form has the colour.
    """
    target = np.asarray(linear, dtype=np.float64)
    if np.ptp(target) < _TOLERANCE and target.min() >= 0 and target.max() <= 1:
        return frozen(np.full(WAVELENGTHS_NM.size, target.mean()))
    for reflectance in (likely_reflectance, sigmoid_reflectance):
        found = reflectance(target)
        if _has_colour(found, target):
            return frozen(found)
    raise ValueError(f"no surface has the colour {target.round(3)} in linear sRGB")


def _has_colour(reflectance: Spectrum, linear: Array) -> bool:
    return bool(np.abs(linear_srgb_under_d65(reflectance) - linear).max() < _TOLERANCE)
