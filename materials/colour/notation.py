"""Colours as a person writes them: sRGB hex, CIE Lab, Munsell notation, or a file of measured reflectance."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from typing import Final

from materials.arrays import Array
from materials.light.observer import D65_XYZ
from materials.light.spectra import Spectrum

from .adaptation import D50_XYZ, bradford_matrix
from .lab import lab_to_xyz, xyz_to_lab
from .measured import read_reflectance
from .munsell import is_munsell, munsell_to_xyz
from .srgb import XYZ_TO_LINEAR_SRGB
from .upsampling import HEX, reflectance_from_hex, reflectance_from_linear_srgb

COLOUR_NOTATIONS: Final = (
    '"#b5833c", "lab(52, 41, 30)", Munsell such as "5YR 5/6" or "N 5", or a file of reflectance.csv'
)
"""How a colour may be written, for messages."""
_NUMBER: Final = r"\s*([-+]?(?:\d{1,4}(?:\.\d*)?|\.\d+))\s*"
_LAB: Final = re.compile(rf"lab(-d50)?\({_NUMBER},{_NUMBER},{_NUMBER}\)", re.ASCII | re.IGNORECASE)


def is_reflectance_file(notation: str) -> bool:
    """Return whether a colour is given as the name of a file."""
    return notation.lower().endswith(".csv")


def is_colour(notation: str) -> bool:
    """Return whether text has the form of a colour; whether a surface can have it shows in `reflectance_from`."""
    return bool(
        HEX.fullmatch(notation) or _LAB.fullmatch(notation) or is_munsell(notation) or is_reflectance_file(notation)
    )


def reflectance_from(notation: str) -> Spectrum:
    """Return a reflectance, (351,) within 0 to 1, read-only, of a colour; files are read anew each time.

    Parameters
    ----------
    notation
        ``#rrggbb``; ``lab(L, a, b)``, CIE Lab under D65 and the 2 degree observer, or ``lab-d50(L, a, b)`` under D50,
        as prints are measured; a Munsell notation; or the path of a CSV file of measured reflectance.

    Raises
    ------
    ValueError
        If it is none of these, or no surface can have that colour.
    """
    return read_reflectance(Path(notation)) if is_reflectance_file(notation) else _reflectance_of_colour(notation)


@lru_cache(maxsize=512)
def _reflectance_of_colour(notation: str) -> Spectrum:
    if match := _LAB.fullmatch(notation):
        lab = [float(value) for value in match.groups()[1:]]
        xyz = bradford_matrix(D50_XYZ, D65_XYZ) @ lab_to_xyz(lab, D50_XYZ) if match[1] else lab_to_xyz(lab)
        return _reflectance_of_xyz(xyz, notation)
    if is_munsell(notation):
        return _reflectance_of_xyz(munsell_to_xyz(notation), notation)
    if HEX.fullmatch(notation):
        return reflectance_from_hex(notation)
    if notation.lower().startswith("lab"):
        raise ValueError(f"Lab is written lab(52, 41, 30) under D65 or lab-d50(52, 41, 30) under D50, not {notation!r}")
    raise ValueError(f"a colour is written {COLOUR_NOTATIONS}, not {notation!r}")


def _reflectance_of_xyz(xyz: Array, notation: str) -> Spectrum:
    try:
        return reflectance_from_linear_srgb(XYZ_TO_LINEAR_SRGB @ xyz)
    except ValueError:
        nearest = ", ".join(f"{round(value, 2) + 0.0:g}" for value in _most_chromatic(xyz_to_lab(xyz)))
        raise ValueError(
            f"no surface can have the colour {notation}: it is too vivid for how light it is; the most vivid of that "
            f"hue is lab({nearest})"
        ) from None


def _most_chromatic(lab: Array) -> Array:
    """Return the Lab colour, (3,), of the lightness and hue of one out of reach with the most chroma of a surface."""
    from scipy.optimize import bisect

    def side(share: float) -> float:
        try:
            reflectance_from_linear_srgb(XYZ_TO_LINEAR_SRGB @ lab_to_xyz(lab * [1, share, share]))
        except ValueError:
            return -1.0
        return 1.0

    share = 0.99 * float(bisect(side, 0.0, 1.0, xtol=1e-3))  # a little less, so that it is in reach as printed
    return lab * [1, share, share]
