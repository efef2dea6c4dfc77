"""Munsell notation: hue, value and chroma to XYZ, by the renotation data of 1943."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import D65_XYZ

from .srgb import bradford

FAMILIES: Final = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
WHITE_C: Final = (0.31006, 0.31616)
"""Chromaticity of CIE illuminant C, under which the notation holds."""
_COLOUR: Final = re.compile(
    r"(\d+(?:\.\d+)?)\s*(YR|GY|BG|PB|RP|R|Y|G|B|P)\s+(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)", re.I
)
_GREY: Final = re.compile(r"N\s*(\d+(?:\.\d+)?)\s*/?", re.IGNORECASE)
_HUES: Final = 40
"""Of the data, 2.5 apart, ten to a family of four."""


def is_munsell(words: str) -> bool:
    """Return whether words have the form of a Munsell notation."""
    return bool(_COLOUR.fullmatch(words.strip()) or _GREY.fullmatch(words.strip()))


def luminance_factor(value: float) -> float:
    """Return Y, 0 to 1, of a Munsell value from 0 to 10 (ASTM D1535, the polynomial of 2008): 0.1927 of 5."""
    if not 0 <= value <= 10:
        raise ValueError(f"a Munsell value lies between 0 and 10, not at {value:g}")
    return float(np.polyval([0.00081939, -0.020484, 0.23352, -0.22533, 1.1914, 0.0], value) / 100)


def munsell_xyz(words: str) -> NDArray[np.float64]:
    """Return XYZ, white D65 at Y = 1, of a notation such as "5YR 5/6" or "N 5".

    Between the colours of the data chromaticity goes along hue and chroma linearly about the white, and along the value
    linearly; the white is adapted from C to D65 after Bradford.

    Raises
    ------
    ValueError
        If it is no notation, or beyond the data.
    """
    if grey := _GREY.fullmatch(words.strip()):
        return luminance_factor(float(grey[1])) * D65_XYZ
    found = _COLOUR.fullmatch(words.strip())
    if found is None:
        raise ValueError(f"a Munsell colour is written 5YR 5/6 or N 5, not {words!r}")
    step, value, chroma = (float(found[i]) for i in (1, 3, 4))
    if not (0 <= step <= 10 and 1 <= value <= 9):
        raise ValueError(f"{words}: a hue's number lies between 0 and 10, the value of a colour between 1 and 9")
    hue = 4 * FAMILIES.index(found[2].upper()) + step / 2.5
    low = int(np.floor(value))
    near = _chromaticity(hue, low, chroma, words)
    above = near if low == value else _chromaticity(hue, low + 1, chroma, words)
    x, y = near + (value - low) * (above - near)
    xyz = luminance_factor(value) / y * np.array([x, y, 1 - x - y])
    white = np.array([WHITE_C[0], WHITE_C[1], 1 - sum(WHITE_C)]) / WHITE_C[1]
    return np.asarray(bradford(white, D65_XYZ) @ xyz)


def _chromaticity(hue: float, value: int, chroma: float, words: str) -> NDArray[np.float64]:
    """Return x, y at a whole value, by hue in steps of 2.5 from 0 R."""
    left = int(np.floor(hue))
    one = _on_hue(left, value, chroma, words)
    other = _on_hue(left + 1, value, chroma, words) if hue > left else one
    return one + (hue - left) * (other - one)


def _on_hue(hue: int, value: int, chroma: float, words: str) -> NDArray[np.float64]:
    table = _renotation()
    low = 2 * int(chroma // 2)
    ends = []
    for end in (low, low + 2 if chroma > low else low):
        found = np.array(WHITE_C) if end == 0 else table.get(((hue - 1) % _HUES, value, end))
        if found is None:
            raise ValueError(
                f"{words} lies beyond the Munsell renotation: less chroma, or a value nearer to the middle"
            )
        ends.append(found)
    return np.asarray(ends[0] + (chroma - low) / 2 * (ends[1] - ends[0]))


@cache
def _renotation() -> dict[tuple[int, int, int], NDArray[np.float64]]:
    """Return x, y by (hue, value, chroma), hue 0 being 2.5 R."""
    text = files("materials.colour").joinpath("data", "munsell.csv").read_text(encoding="utf-8")
    rows = [line.split(",") for line in text.splitlines() if line[:1].isdigit()]
    return {(int(h), int(v), int(c)): np.array([float(x), float(y)]) for h, v, c, x, y in rows}
