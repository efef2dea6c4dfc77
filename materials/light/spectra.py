"""Spectra on the one wavelength grid: blackbody radiation, photometric values, XYZ and chromaticity.

A sum over the grid is an integral over nm, since the grid steps by 1 nm.
"""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array

from .constants import BOLTZMANN_CONSTANT, PLANCK_CONSTANT, SPEED_OF_LIGHT
from .observer import COLOUR_MATCHING, D65, MAX_LUMINOUS_EFFICACY, WAVELENGTHS_NM

Spectrum: TypeAlias = Array
"""(351,): one value per wavelength of `materials.light.observer.WAVELENGTHS_NM`."""

KELVIN_RANGE: Final = (1000, 25000)
"""The colour temperatures, K, that a lamp may have: from below a candle to above the bluest sky light."""


def planck(kelvin: float, wavelengths_nm: ArrayLike = WAVELENGTHS_NM) -> Array:
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
    occupancy: Array = np.exp(-exponent) / -np.expm1(-exponent)
    return 2 * PLANCK_CONSTANT * SPEED_OF_LIGHT**2 / metres**5 * occupancy * 1e-9


def blackbody(kelvin: float) -> Spectrum:
    """Return the spectrum of a blackbody that gives exactly one lumen, (351,) W/nm per lm.

    Raises ValueError if `kelvin` is outside `KELVIN_RANGE`.
    """
    low, high = KELVIN_RANGE
    if not low <= kelvin <= high:
        raise ValueError(f"{kelvin} K is outside the {low} to {high} K of lamps and daylight")
    spectrum = planck(kelvin)
    return spectrum / photometric_value(spectrum)


def photometric_value(spectrum: Spectrum) -> float:
    """Return the photometric value of a (351,) spectrum: lm of W/nm, lx of W/(m2 nm), cd/m2 of W/(m2 sr nm).

    K_m times the integral of V(lambda) S(lambda) (CIE 15:2018).
    """
    return float(MAX_LUMINOUS_EFFICACY * (COLOUR_MATCHING[1] @ spectrum))


def luminous_efficacy_of_radiation(spectrum: Spectrum) -> float:
    """Return lumens per watt of the radiation of a (351,) spectrum between 380 and 730 nm.

    Radiation outside that range and heat are not counted, where the efficacy on a lamp's label is per electrical watt.
    Raises ValueError if the spectrum holds no light.
    """
    watts = float(np.sum(spectrum))
    if not watts > 0:
        raise ValueError("a spectrum without light has no lumens per watt")
    return photometric_value(spectrum) / watts


def luminance_factor(reflectance: Spectrum) -> float:
    """Return the luminance factor Y, 0 to 1, of a (351,) reflectance under D65 (CIE 15:2018)."""
    return float(COLOUR_MATCHING[1] * D65 @ reflectance / (COLOUR_MATCHING[1] @ D65))


def xyz(spectrum: Spectrum) -> Array:
    """Return absolute tristimulus values, (3,): Y is in cd/m2 when `spectrum`, (351,), is in W/(m2 sr nm).

    CIE 1931 2-degree observer, K_m = 683.002 lm/W (CIE 15:2018).
    """
    return MAX_LUMINOUS_EFFICACY * (COLOUR_MATCHING @ spectrum)


def chromaticity_xy(spectrum: Spectrum) -> Array:
    """Return the CIE 1931 chromaticity (x, y), shape (2,), of a (351,) spectrum.

    Raises ValueError if the spectrum holds no visible light.
    """
    values = xyz(spectrum)
    total = float(values.sum())
    if not total > 0:
        raise ValueError("a spectrum without visible light has no chromaticity")
    return values[:2] / total
