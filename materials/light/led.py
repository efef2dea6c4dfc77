"""White LEDs: a blue diode under a green and a red phosphor, alone or as the two channels of a bi-colour panel.

A generic model, of no lamp in particular. Its chromaticity is exactly that of a blackbody, which makers aim at, and its
colour rendering that of the label: phosphors of Ra 80 lie close together, those of Ra 97 are broad and far apart.
Through the index of LED-B1 to LED-B5 (CIE 15:2018) it gives colours as they do, within one CIEDE2000.
"""

from __future__ import annotations

from functools import lru_cache
from math import floor
from typing import Final

import numpy as np

from materials.arrays import frozen

from .colour_rendering import colour_rendering_index
from .colour_temperature import UV_1960_DENOMINATOR, offset_along_locus, uv_1960
from .observer import WAVELENGTHS_NM
from .spectra import Spectrum, blackbody, xyz

WHITE_LED_RANGE: Final = (1800, 20000)
"""The colour temperatures, K, that `white_led` can have: well below, the blue diode's share would be negative."""
RA_RANGE: Final = (80.0, 97.0)
"""The general colour rendering indices of `white_led` between 2700 and 6500 K, as labels have them; else up to less."""

# Peak and full width at half maximum, nm, fitted to LED-B1 to LED-B5, and for high rendering from 2700 to 6500 K.
PUMP_NM: Final = (453.0, 26.0)
"""The blue diode."""
CLOSE_PHOSPHORS_NM: Final = ((535.0, 90.0), (598.0, 95.0))
"""The green and the red phosphor of the poorest rendering."""
BROAD_PHOSPHORS_NM: Final = ((522.0, 114.0), (641.0, 128.0))
"""Those of the best."""


@lru_cache(maxsize=64)
def white_led(kelvin: float, ra: float) -> Spectrum:
    """Return the spectrum of a white LED that gives one lumen, (351,) W/nm per lm, read-only.

    Parameters
    ----------
    kelvin
        Colour temperature, K; the chromaticity is the Planckian one on this grid.
    ra
        General colour rendering index R_a (CIE 13.3-1995).

    Raises
    ------
    ValueError
        If `kelvin` is outside `WHITE_LED_RANGE`, or `ra` outside what this model reaches at that colour temperature.
    """
    from scipy.optimize import brentq

    if not RA_RANGE[0] <= ra <= best_ra(kelvin):
        raise ValueError(f"a white LED of {kelvin:g} K has ra {RA_RANGE[0]:g} to {best_ra(kelvin):g} here, not {ra:g}")
    breadth = brentq(lambda part: colour_rendering_index(_mixture(kelvin, part)) - ra, 0.0, 1.0, xtol=1e-5)
    return frozen(_mixture(kelvin, float(breadth)))


@lru_cache(maxsize=64)
def best_ra(kelvin: float) -> float:
    """Return the highest index R_a, a whole number, that a `white_led` of a colour temperature has.

    Raises ValueError if `kelvin` is outside `WHITE_LED_RANGE`.
    """
    if not WHITE_LED_RANGE[0] <= kelvin <= WHITE_LED_RANGE[1]:
        low, high = WHITE_LED_RANGE
        raise ValueError(f"a white LED has {low} to {high} K here, not {kelvin:g} K")
    return min(float(floor(colour_rendering_index(_mixture(kelvin, 1.0)))), RA_RANGE[1])


def _mixture(kelvin: float, breadth: float) -> Spectrum:
    """Return one lumen of diode and phosphors with the chromaticity of a blackbody, (351,) W/nm.

    The phosphors' peaks and widths lie on the straight line from the close ones, 0, to the broad ones, 1.
    """
    close, broad = np.array(CLOSE_PHOSPHORS_NM), np.array(BROAD_PHOSPHORS_NM)
    green, red = close + breadth * (broad - close)
    components = np.array([_gaussian(*peak) for peak in (PUMP_NM, green, red)])
    weights = np.linalg.solve(np.array([xyz(component) for component in components]).T, xyz(blackbody(kelvin)))
    return np.asarray(weights @ components)


def cool_share(kelvin: float, warm_kelvin: float, cool_kelvin: float) -> float:
    """Return the share of its lumens that a bi-colour panel gives from its cool channel, 0 to 1.

    Parameters
    ----------
    kelvin
        The correlated colour temperature that the panel is set to, K.
    warm_kelvin, cool_kelvin
        The colour temperatures of its two channels, K.

    Raises
    ------
    ValueError
        If `kelvin` is not between the two, the two are not in that order, or one is outside `KELVIN_RANGE`.

    Notes
    -----
    A mixture has that CCT where it lies on the isotemperature line: in CIE 1960 (u, v), at right angles to the
    Planckian locus (CIE 15:2018). The offset from that line, times X + 15 Y + 3 Z, is linear in the light.
    """
    warm, cool = xyz(blackbody(warm_kelvin)), xyz(blackbody(cool_kelvin))
    if not warm_kelvin < cool_kelvin:
        raise ValueError(
            f"the warm end of a bi-colour panel must be below its cool end, not {warm_kelvin} K and {cool_kelvin} K"
        )
    if not warm_kelvin <= kelvin <= cool_kelvin:
        raise ValueError(f"a bi-colour panel of {warm_kelvin} to {cool_kelvin} K cannot be set to {kelvin} K")
    of_warm, of_cool = (
        float(UV_1960_DENOMINATOR @ light) * offset_along_locus(uv_1960(light), kelvin) for light in (warm, cool)
    )
    return min(max(of_warm / (of_warm - of_cool), 0.0), 1.0)


def bicolour_led(kelvin: float, warm_kelvin: float, cool_kelvin: float, ra: float) -> Spectrum:
    """Return the spectrum of a bi-colour panel that gives one lumen, (351,) W/nm per lm.

    A mixture of a warm and a cool `white_led`, each of the index `ra`: pinker than a blackbody of its colour
    temperature. Other parameters and errors are those of `cool_share` and `white_led`.
    """
    share = cool_share(kelvin, warm_kelvin, cool_kelvin)
    return (1 - share) * white_led(warm_kelvin, ra) + share * white_led(cool_kelvin, ra)


def _gaussian(peak_nm: float, width_nm: float) -> Spectrum:
    """Return a Gaussian of height 1, (351,), by its peak and its full width at half maximum."""
    gaussian: Spectrum = np.exp(-4 * np.log(2) * ((WAVELENGTHS_NM - peak_nm) / width_nm) ** 2)
    return gaussian
