"""Colours as they are said: sRGB hex, CIE Lab, Munsell notation, or a file of measured reflectance."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import D65_XYZ, XYZ_TO_LINEAR_SRGB, frozen
from materials.light.spectra import Spectrum

from .measured import read_reflectance
from .munsell import is_munsell, munsell_xyz
from .srgb import bradford, reflectance_from_hex, reflectance_from_linear_srgb

WAYS: Final = '"#b5833c", "lab(52, 41, 30)", Munsell such as "5YR 5/6" or "N 5", or a file of reflectance.csv'
D50_XYZ: Final = frozen(np.array([0.96422, 1.0, 0.82521]))
"""White of ICC.1, under which prints are measured (ISO 13655)."""
_NUMBER: Final = r"\s*([-+]?(?:\d{1,4}(?:\.\d*)?|\.\d+))\s*"
_LAB: Final = re.compile(rf"lab(-d50)?\({_NUMBER},{_NUMBER},{_NUMBER}\)", re.ASCII | re.IGNORECASE)
_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")


def is_file(words: str) -> bool:
    """Return whether a colour is said by the name of a file."""
    return words.lower().endswith(".csv")


def is_colour(words: str) -> bool:
    """Return whether words have the form of a colour; whether there is such a colour shows when it is made."""
    return bool(_HEX.fullmatch(words) or _LAB.fullmatch(words) or is_munsell(words) or is_file(words))


def reflectance_from(words: str) -> Spectrum:
    """Return a reflectance, (351,) within 0 to 1, read-only, for a colour in words; files are read anew each time.

    Parameters
    ----------
    words
        ``#rrggbb``; ``lab(L, a, b)``, CIE Lab under D65 and the 2 degree observer, or ``lab-d50(L, a, b)`` under D50,
        as prints are measured; a Munsell notation; or the path of a CSV file of measured reflectance.

    Raises
    ------
    ValueError
        If it is none of these, or no surface can have that colour.
    """
    return read_reflectance(Path(words)) if is_file(words) else _reflectance_of_colour(words)


@lru_cache(maxsize=512)
def _reflectance_of_colour(words: str) -> Spectrum:
    if found := _LAB.fullmatch(words):
        xyz = lab_xyz([float(value) for value in found.groups()[1:]], D50_XYZ if found[1] else D65_XYZ)
        return _from_xyz(bradford(D50_XYZ, D65_XYZ) @ xyz if found[1] else xyz, words)
    if is_munsell(words):
        return _from_xyz(munsell_xyz(words), words)
    if _HEX.fullmatch(words):
        return reflectance_from_hex(words)
    if words.lower().startswith("lab"):
        raise ValueError(f"Lab is written lab(52, 41, 30) under D65 or lab-d50(52, 41, 30) under D50, not {words!r}")
    raise ValueError(f"a colour is written {WAYS}, not {words!r}")


def lab_xyz(lab: list[float], white: NDArray[np.float64] = D65_XYZ) -> NDArray[np.float64]:
    """Return XYZ of CIE Lab values under a white, XYZ of Y = 1 (ISO/CIE 11664-4)."""
    lightness, a, b = lab
    if not 0 <= lightness <= 100:
        raise ValueError(f"L of Lab lies between 0 and 100, not at {lightness:g}")
    fy = (lightness + 16) / 116
    f = np.array([fy + a / 500, fy, fy - b / 200])
    edge = 6 / 29
    return np.asarray(white * np.where(f > edge, f**3, 3 * edge**2 * (f - 4 / 29)))


def lab_of(xyz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return CIE Lab under D65 of XYZ, white D65 at Y = 1: the inverse of `lab_xyz`."""
    edge = 6 / 29
    ratio = xyz / D65_XYZ
    x, y, z = np.where(ratio > edge**3, np.cbrt(ratio), ratio / (3 * edge**2) + 4 / 29)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


def _from_xyz(xyz: NDArray[np.float64], words: str) -> Spectrum:
    try:
        return reflectance_from_linear_srgb(XYZ_TO_LINEAR_SRGB @ xyz)
    except ValueError:
        nearest = ", ".join(f"{round(value, 2) + 0.0:g}" for value in _less_vivid(lab_of(xyz)))
        raise ValueError(
            f"no surface can have the colour {words}: it is too vivid for how light it is; the most vivid of that hue "
            f"is lab({nearest})"
        ) from None


def _less_vivid(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the Lab colour of the same lightness and hue with the most chroma that a surface has, to a thousandth."""
    held, refused = 0.0, 1.0
    while refused - held > 1e-3:
        tried = (held + refused) / 2
        try:
            reflectance_from_linear_srgb(XYZ_TO_LINEAR_SRGB @ lab_xyz([lab[0], *(tried * lab[1:])]))
            held = tried
        except ValueError:
            refused = tried
    # a little less, so that it holds as it is printed
    return np.asarray(lab * [1, 0.99 * held, 0.99 * held])
