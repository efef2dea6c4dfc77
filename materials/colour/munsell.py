"""Munsell notation to XYZ, by the renotation data of 1943."""

from __future__ import annotations

import re
from functools import cache
from typing import Final

import numpy as np

from materials.arrays import Array
from materials.light.observer import D65_XYZ
from materials.packaged import packaged_columns

from .adaptation import bradford_matrix

FAMILIES: Final = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
WHITE_C: Final = (0.31006, 0.31616)
"""Chromaticity of CIE illuminant C, under which the notation holds."""
_COLOUR: Final = re.compile(
    r"(\d+(?:\.\d+)?)\s*(YR|GY|BG|PB|RP|R|Y|G|B|P)\s+(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)", re.I
)
_GREY: Final = re.compile(r"N\s*(\d+(?:\.\d+)?)\s*/?", re.IGNORECASE)
_HUES: Final = 40
"""Hues in the data: 2.5 apart, four to a family."""


def is_munsell(notation: str) -> bool:
    """Return whether text has the form of a Munsell notation."""
    return bool(_COLOUR.fullmatch(notation.strip()) or _GREY.fullmatch(notation.strip()))


def munsell_value_to_luminance(value: float) -> float:
    """Return the luminance factor Y, 0 to 1, of a Munsell value from 0 to 10 (ASTM D1535-08): 0.1927 of 5."""
    if not 0 <= value <= 10:
        raise ValueError(f"a Munsell value lies between 0 and 10, not at {value:g}")
    return float(np.polyval([0.00081939, -0.020484, 0.23352, -0.22533, 1.1914, 0.0], value) / 100)


def munsell_to_xyz(notation: str) -> Array:
    """Return XYZ, white D65 at Y = 1, of a notation such as "5YR 5/6" or "N 5".

    Chromaticity between the colours of the data is interpolated linearly in hue, chroma and value; the white is adapted
    from C to D65 after Bradford.

    Raises
    ------
    ValueError
        If it is no Munsell notation, or beyond the data.
    """
    if grey := _GREY.fullmatch(notation.strip()):
        return munsell_value_to_luminance(float(grey[1])) * D65_XYZ
    match = _COLOUR.fullmatch(notation.strip())
    if match is None:
        raise ValueError(f"a Munsell colour is written 5YR 5/6 or N 5, not {notation!r}")
    step, value, chroma = (float(match[i]) for i in (1, 3, 4))
    if not (0 <= step <= 10 and 1 <= value <= 9):
        raise ValueError(f"{notation}: a hue's number lies between 0 and 10, the value of a colour between 1 and 9")
    hue = 4 * FAMILIES.index(match[2].upper()) + step / 2.5
    low = int(np.floor(value))
    below = _chromaticity(hue, low, chroma, notation)
    above = below if low == value else _chromaticity(hue, low + 1, chroma, notation)
    x, y = below + (value - low) * (above - below)
    xyz = munsell_value_to_luminance(value) / y * np.array([x, y, 1 - x - y])
    white = np.array([WHITE_C[0], WHITE_C[1], 1 - sum(WHITE_C)]) / WHITE_C[1]
    return np.asarray(bradford_matrix(white, D65_XYZ) @ xyz)


def _chromaticity(hue: float, value: int, chroma: float, notation: str) -> Array:
    """Return (x, y) at a whole value and any hue, in steps of 2.5 from 0 R."""
    low = int(np.floor(hue))
    below = _chromaticity_on_hue(low, value, chroma, notation)
    above = _chromaticity_on_hue(low + 1, value, chroma, notation) if hue > low else below
    return below + (hue - low) * (above - below)


def _chromaticity_on_hue(hue: int, value: int, chroma: float, notation: str) -> Array:
    """Return (x, y) at a whole hue and value and any chroma."""
    table = _renotation()
    low = 2 * int(chroma // 2)
    ends = []
    for end in (low, low + 2 if chroma > low else low):
        found = np.array(WHITE_C) if end == 0 else table.get(((hue - 1) % _HUES, value, end))
        if found is None:
            raise ValueError(
                f"{notation} lies beyond the Munsell renotation: less chroma, or a value nearer to the middle"
            )
        ends.append(found)
    return np.asarray(ends[0] + (chroma - low) / 2 * (ends[1] - ends[0]))


@cache
def _renotation() -> dict[tuple[int, int, int], Array]:
    """Return (x, y) by (hue, value, chroma), hue 0 being 2.5 R."""
    columns = packaged_columns("materials.colour", "data/munsell.csv")
    keys = zip(*(columns[name].astype(int).tolist() for name in ("hue", "value", "chroma")), strict=True)
    return dict(zip(keys, np.stack([columns["x"], columns["y"]], axis=-1), strict=True))
