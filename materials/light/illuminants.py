"""The CIE illuminants by name, and CIE daylight of any colour temperature, each giving one lumen.

CIE 15 publishes them by 5 nm; values between are interpolated linearly, as CIE 15 prescribes for daylight. The
published chromaticities of fluorescent lamps and LEDs are sums by 5 nm: x and y differ by .0003 at most.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Final

import numpy as np

from materials.arrays import frozen
from materials.packaged import packaged_columns

from .observer import WAVELENGTHS_NM
from .spectra import Spectrum, photometric_value

DAYLIGHT_RANGE: Final = (4000, 25000)
"""The colour temperatures, K, for which CIE 15 gives a phase of daylight."""


def illuminant_names() -> tuple[str, ...]:
    """Return the names that `illuminant` knows, in the order of CIE 15."""
    return tuple(tabulated_spectra("illuminants.csv"))


@lru_cache
def illuminant(name: str) -> Spectrum:
    """Return a CIE illuminant that gives one lumen, (351,) W/nm per lm, read-only.

    Raises ValueError, with the known names, for any other name. Source: CIE 15:2018.
    """
    table = tabulated_spectra("illuminants.csv")
    if name not in table:
        raise ValueError(f"there is no CIE illuminant {name!r}; known are {', '.join(table)}")
    return frozen(table[name] / photometric_value(table[name]))


def daylight(kelvin: float) -> Spectrum:
    """Return the phase of CIE daylight that gives one lumen, (351,) W/nm per lm.

    Parameters
    ----------
    kelvin
        Correlated colour temperature, K, 4000 to 25000.

    Raises
    ------
    ValueError
        If `kelvin` is outside `DAYLIGHT_RANGE`.

    Notes
    -----
    CIE 15:2018, with its factors M1 and M2 rounded to three decimals as it says. D50 to D75 are those of 1.4388/1.4380
    times their nominal temperature, since the constant in Planck's law has been revised.
    """
    if not DAYLIGHT_RANGE[0] <= kelvin <= DAYLIGHT_RANGE[1]:
        low, high = DAYLIGHT_RANGE
        raise ValueError(f"{kelvin} K is outside the {low} to {high} K of CIE daylight")
    t = 1000 / kelvin
    warm = ((-4.6070 * t + 2.9678) * t + 0.09911) * t + 0.244063
    cool = ((-2.0064 * t + 1.9018) * t + 0.24748) * t + 0.237040
    x = warm if kelvin <= 7000 else cool
    y = (-3.000 * x + 2.870) * x - 0.275
    divisor = 0.0241 + 0.2562 * x - 0.7341 * y
    first = round((-1.3515 - 1.7703 * x + 5.9114 * y) / divisor, 3)
    second = round((0.0300 - 31.4424 * x + 30.0717 * y) / divisor, 3)
    table = tabulated_spectra("daylight.csv")
    spectrum = table["S0"] + first * table["S1"] + second * table["S2"]
    return spectrum / photometric_value(spectrum)


@lru_cache
def tabulated_spectra(file: str) -> Mapping[str, Spectrum]:
    """Return the spectra of a file in this package's data folder by name, each (351,), read-only.

    Values between the file's wavelengths are interpolated linearly.
    """
    columns = packaged_columns("materials.light", f"data/{file}")
    nm = columns.pop("wavelength_nm")
    return MappingProxyType({name: frozen(np.interp(WAVELENGTHS_NM, nm, values)) for name, values in columns.items()})
