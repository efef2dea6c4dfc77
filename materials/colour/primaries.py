"""Reflectance spectra for every colour of a picture: three primaries of which each takes its share.

What is linear in linear sRGB may be interpolated and mixed: a texel, a corner's colour and all between them have the
colour that they say, and no more light leaves than arrives.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import WAVELENGTHS_NM, frozen

from .srgb import linear_srgb_under_d65


@cache
def primaries() -> NDArray[np.float64]:
    """Return the reflectances of linear sRGB red, green and blue, (3, 351), within 0 to 1.

    The spectral primaries of Mallett and Yuksel ("Spectral primary decomposition for rendering with sRGB
    reflectance", 2019), mixed anew so that each has its colour under D65 on this grid; together they are white.
    """
    text = files("materials.colour").joinpath("data", "primaries.csv").read_text(encoding="utf-8")
    rows = np.array([line.split(",") for line in text.splitlines() if line[:1].isdigit()], dtype=np.float64).T
    published = np.array([np.interp(WAVELENGTHS_NM, rows[0], values) for values in rows[1:]])
    published /= published.sum(axis=0)
    colours = np.array([linear_srgb_under_d65(reflectance) for reflectance in published])
    mixed = np.clip(np.linalg.solve(colours, published), 0.0, None)
    return frozen(mixed / mixed.sum(axis=0))
