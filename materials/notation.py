"""Colours as they are said: sRGB hex, CIE Lab, Munsell notation, or a file of measured reflectance."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from .cie import D65_XYZ, XYZ_TO_LINEAR_SRGB
from .colours import reflectance_from_hex, reflectance_from_linear_srgb
from .munsell import is_munsell, munsell_xyz
from .reflectance_file import read_reflectance
from .spectra import Spectrum

WAYS: Final = '"#b5833c", "lab(52, 41, 30)", Munsell such as "5YR 5/6" or "N 5", or a file of reflectance.csv'
_LAB: Final = re.compile(r"lab\(\s*([-+.\d]+)\s*,\s*([-+.\d]+)\s*,\s*([-+.\d]+)\s*\)", re.IGNORECASE)
_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")


def is_file(words: str) -> bool:
    """Return whether a colour is said by the name of a file."""
    return words.lower().endswith(".csv")


def is_colour(words: str) -> bool:
    """Return whether words have the form of a colour; whether there is such a colour shows when it is made."""
    return bool(_HEX.fullmatch(words) or _LAB.fullmatch(words) or is_munsell(words) or is_file(words))


@lru_cache(maxsize=512)
def reflectance_from(words: str) -> Spectrum:
    """Return a reflectance, (351,) within 0 to 1, read-only, for a colour in words.

    Parameters
    ----------
    words
        ``#rrggbb``; ``lab(L, a, b)``, CIE Lab under D65 and the 2 degree observer; a Munsell notation; or the path of a
        CSV file of measured reflectance.

    Raises
    ------
    ValueError
        If it is none of these, or no surface can have that colour.
    """
    if is_file(words):
        return read_reflectance(Path(words))
    if found := _LAB.fullmatch(words):
        return _from_xyz(lab_xyz([float(value) for value in found.groups()]), words)
    if is_munsell(words):
        return _from_xyz(munsell_xyz(words), words)
    if _HEX.fullmatch(words):
        return reflectance_from_hex(words)
    raise ValueError(f"a colour is written {WAYS}, not {words!r}")


def lab_xyz(lab: list[float]) -> NDArray[np.float64]:
    """Return XYZ, white D65 at Y = 1, of CIE Lab values under D65 (ISO/CIE 11664-4)."""
    lightness, a, b = lab
    if not 0 <= lightness <= 100:
        raise ValueError(f"L of Lab lies between 0 and 100, not at {lightness:g}")
    fy = (lightness + 16) / 116
    f = np.array([fy + a / 500, fy, fy - b / 200])
    edge = 6 / 29
    return np.asarray(D65_XYZ * np.where(f > edge, f**3, 3 * edge**2 * (f - 4 / 29)))


def _from_xyz(xyz: NDArray[np.float64], words: str) -> Spectrum:
    try:
        return reflectance_from_linear_srgb(XYZ_TO_LINEAR_SRGB @ xyz)
    except ValueError:
        raise ValueError(f"no surface can have the colour {words}: it is too vivid for how light it is") from None
