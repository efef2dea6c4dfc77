"""Spectra on the one wavelength grid: Planck's law, lumens, chromaticity, correlated colour temperature.

A sum over the grid is an integral over nm, since the grid steps by 1 nm.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .observer import (
    BOLTZMANN_CONSTANT,
    COLOUR_MATCHING,
    LUMENS_PER_WATT,
    PLANCK_CONSTANT,
    SPEED_OF_LIGHT,
    STEFAN_BOLTZMANN,
    WAVELENGTHS_NM,
)

Spectrum = NDArray[np.float64]
"""(351,): one value per wavelength of `materials.light.observer.WAVELENGTHS_NM`."""

KELVIN_RANGE: Final = (1000, 25000)
"""The colour temperatures, K, that a lamp may have here: below a candle to above the bluest sky light."""


def planck(kelvin: float, wavelengths_nm: ArrayLike = WAVELENGTHS_NM) -> NDArray[np.float64]:
    """Return the spectral radiance of a blackbody.

    Parameters
    ----------
    kelvin
        Temperature, K; any positive number.
    wavelengths_nm
        Wavelengths in vacuum, nm, of any shape.

    Returns
    -------
    W/(m2 sr nm), of the shape of `wavelengths_nm`.

    Raises
    ------
    ValueError
        If `kelvin` is not a positive finite number.

    Notes
    -----
    Planck's law, L = 2 h c2 / lambda5 / (exp(h c / (lambda k T)) - 1), SI 2019 constants.
    """
    if not (np.isfinite(kelvin) and kelvin > 0):
        raise ValueError(f"a temperature must be a positive number of kelvin, not {kelvin}")
    metres = np.asarray(wavelengths_nm, dtype=np.float64) * 1e-9
    exponent = PLANCK_CONSTANT * SPEED_OF_LIGHT / (metres * BOLTZMANN_CONSTANT * kelvin)
    # exp(-x) / (1 - exp(-x)) is 1 / (exp(x) - 1) without the overflow
    occupancy: NDArray[np.float64] = np.exp(-exponent) / -np.expm1(-exponent)
    return 2 * PLANCK_CONSTANT * SPEED_OF_LIGHT**2 / metres**5 * occupancy * 1e-9


def luminous(spectrum: Spectrum) -> float:
    """Return the photometric value of a spectrum: lm of W/nm, lx of W/(m2 nm), cd/m2 of W/(m2 sr nm).

    K_m times the sum of V(lambda) S (CIE 15:2018), with `spectrum` of shape (351,).
    """
    return float(LUMENS_PER_WATT * (COLOUR_MATCHING[1] @ spectrum))


def blackbody(kelvin: float) -> Spectrum:
    """Return the spectrum of a blackbody that gives exactly one lumen, (351,) W/nm per lm.

    Raises ValueError if `kelvin` is outside `KELVIN_RANGE`.
    """
    spectrum = planck(_checked(kelvin))
    return spectrum / luminous(spectrum)


def xyz(spectrum: Spectrum) -> NDArray[np.float64]:
    """Return absolute tristimulus values, (3,): Y is in cd/m2 when `spectrum`, (351,), is in W/(m2 sr nm).

    CIE 1931 2-degree observer, K_m = 683.002 lm/W (CIE 15:2018).
    """
    return LUMENS_PER_WATT * (COLOUR_MATCHING @ spectrum)


def chromaticity_xy(spectrum: Spectrum) -> NDArray[np.float64]:
    """Return the CIE 1931 chromaticity (x, y), shape (2,), of a (351,) spectrum.

    Raises ValueError if the spectrum holds no visible light.
    """
    values = xyz(spectrum)
    total = float(values.sum())
    if not total > 0:
        raise ValueError("a spectrum without visible light has no chromaticity")
    return values[:2] / total


def luminous_efficacy(kelvin: float) -> float:
    """Return lumens per watt of everything that a blackbody radiates, ultraviolet and infrared included.

    The denominator is sigma T4 / pi (Stefan-Boltzmann).
    Raises ValueError if `kelvin` is outside `KELVIN_RANGE`.
    """
    return luminous(planck(_checked(kelvin))) * np.pi / (STEFAN_BOLTZMANN * kelvin**4)


def cct_duv(spectrum: Spectrum) -> tuple[float, float]:
    """Return the correlated colour temperature and the distance from the Planckian locus.

    Parameters
    ----------
    spectrum
        (351,), in any unit of power per nm.

    Returns
    -------
    CCT in K, and Duv in CIE 1960 (u, v): above zero is greener than a blackbody, below zero pinker.

    Raises
    ------
    ValueError
        If the spectrum holds no visible light, or its CCT lies outside `KELVIN_RANGE`.

    Notes
    -----
    The nearest point of the locus in CIE 1960 (u, v) (CIE 15:2018), by bisection on the sign of the component
    along the locus; the sign of Duv is that of ANSI C78.377. CIE calls the CCT meaningful to a Duv of 0.05.
    """
    x, y = chromaticity_xy(spectrum)
    target = np.array([4 * x, 6 * y]) / (12 * y - 2 * x + 3)
    mired, locus = _locus()
    nearest = int(np.argmin(np.sum((locus - target) ** 2, axis=1)))
    low, high = mired[max(nearest - 1, 0)], mired[min(nearest + 1, mired.size - 1)]
    if _along(low, target) < 0 or _along(high, target) > 0:
        raise ValueError(
            f"the light has no correlated colour temperature between {KELVIN_RANGE[0]} and {KELVIN_RANGE[1]} K"
        )
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _along(middle, target) > 0 else (low, middle)
    offset = target - _locus_uv(low)
    return float(1e6 / low), float(np.copysign(np.hypot(*offset), offset[1]))


def _checked(kelvin: float) -> float:
    if not KELVIN_RANGE[0] <= kelvin <= KELVIN_RANGE[1]:
        low, high = KELVIN_RANGE
        raise ValueError(f"{kelvin} K is outside the {low} to {high} K of lamps and daylight")
    return kelvin


def _uv_1960(values: NDArray[np.float64]) -> NDArray[np.float64]:
    x, y, z = values
    uv: NDArray[np.float64] = np.array([4 * x, 6 * y]) / (x + 15 * y + 3 * z)
    return uv


def _locus_uv(mired: float) -> NDArray[np.float64]:
    return _uv_1960(COLOUR_MATCHING @ planck(1e6 / mired))


@lru_cache(maxsize=1)
def _locus() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return reciprocal temperatures, mired, spaced by 5 or less, and their (u, v)."""
    mired = np.linspace(1e6 / KELVIN_RANGE[1], 1e6 / KELVIN_RANGE[0], 201)
    return mired, np.array([_locus_uv(float(m)) for m in mired])


def _along(mired: float, target: NDArray[np.float64]) -> float:
    """Return how far `target` lies beyond the point of the locus at `mired`, measured along the locus."""
    step = 1e-3
    tangent = _locus_uv(mired + step) - _locus_uv(mired - step)
    return float(tangent @ (target - _locus_uv(mired))) / float(np.hypot(*tangent))
