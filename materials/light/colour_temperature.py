"""Correlated colour temperature, in the CIE 1960 uniform chromaticity diagram."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from materials.arrays import Array, frozen

from .observer import COLOUR_MATCHING
from .spectra import KELVIN_RANGE, Spectrum, chromaticity_xy, planck

UV_1960_DENOMINATOR: Final = frozen(np.array([1.0, 15.0, 3.0]))
"""X + 15 Y + 3 Z: the weight of each light in the (u, v) of a mixture."""


def uv_1960(xyz: Array) -> Array:
    """Return CIE 1960 chromaticity (u, v), (2, ...), of tristimulus values, (3, ...) in any unit (CIE 15:2018)."""
    x, y, _ = xyz
    uv: Array = np.array([4 * x, 6 * y]) / (UV_1960_DENOMINATOR @ xyz)
    return uv


def planckian_uv(kelvin: float) -> Array:
    """Return CIE 1960 (u, v), (2,), of a blackbody of any positive temperature."""
    return uv_1960(COLOUR_MATCHING @ planck(kelvin))


def offset_along_locus(uv: Array, kelvin: float) -> float:
    """Return the component along the Planckian locus of the offset from a blackbody to CIE 1960 (u, v), (2,).

    Zero on the isotemperature line of `kelvin`, positive for warmer light, negative for cooler.
    """
    mired, step = 1e6 / kelvin, 1e-3
    tangent = planckian_uv(1e6 / (mired + step)) - planckian_uv(1e6 / (mired - step))
    return float(tangent @ (uv - planckian_uv(kelvin))) / float(np.hypot(*tangent))


def cct_duv(spectrum: Spectrum) -> tuple[float, float]:
    """Return what `xy_to_cct_duv` does of a spectrum, (351,), in any unit of power per nm; ValueError without light."""
    return xy_to_cct_duv(*chromaticity_xy(spectrum))


def xy_to_cct_duv(x: float, y: float) -> tuple[float, float]:
    """Return the correlated colour temperature and the distance from the Planckian locus.

    Parameters
    ----------
    x, y
        CIE 1931 chromaticity.

    Returns
    -------
    CCT in K, and Duv in CIE 1960 (u, v): above zero is greener than a blackbody, below zero pinker.

    Raises
    ------
    ValueError
        If the CCT lies outside `KELVIN_RANGE`.

    Notes
    -----
    The nearest point of the locus in CIE 1960 (u, v) (CIE 15:2018), where the offset is at right angles to the locus;
    the sign of Duv is that of ANSI C78.377. CIE calls the CCT meaningful to a Duv of 0.05.
    """
    from scipy.optimize import brentq

    target = uv_1960(np.array([x, y, 1 - x - y]))
    mired, locus = _sampled_locus()
    nearest = int(np.argmin(np.sum((locus - target) ** 2, axis=1)))
    low, high = mired[max(nearest - 1, 0)], mired[min(nearest + 1, mired.size - 1)]

    def offset(at_mired: float) -> float:
        return offset_along_locus(target, 1e6 / at_mired)

    if offset(low) < 0 or offset(high) > 0:
        raise ValueError(
            f"the light has no correlated colour temperature between {KELVIN_RANGE[0]} and {KELVIN_RANGE[1]} K"
        )
    kelvin = 1e6 / float(brentq(offset, low, high, xtol=1e-11))
    du, dv = target - planckian_uv(kelvin)
    return kelvin, float(np.copysign(np.hypot(du, dv), dv))


@lru_cache(maxsize=1)
def _sampled_locus() -> tuple[Array, Array]:
    """Return reciprocal temperatures, (n,) mired spaced by 5 or less, and their (u, v), (n, 2)."""
    mired = np.linspace(1e6 / KELVIN_RANGE[1], 1e6 / KELVIN_RANGE[0], 201)
    return mired, np.array([planckian_uv(1e6 / float(m)) for m in mired])
