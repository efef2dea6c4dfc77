"""White LEDs: a blue diode under a green and a red phosphor, alone or as the two channels of a bi-colour panel.

No lamp in particular. The light has the chromaticity of a blackbody exactly, as a maker aims at.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from .observer import WAVELENGTHS_NM, frozen
from .spectra import Spectrum, blackbody, luminous, planck, xyz

WHITE_LED_RANGE: Final = (1600, 25000)
"""The colour temperatures, K, that `white_led` can have: just below, it would take less than no blue."""

# Peak and full width at half maximum, nm: from memory, within common practice for lamps of high colour rendering.
PUMP_NM: Final = (455.0, 20.0)
"""The blue diode."""
GREEN_PHOSPHOR_NM: Final = (535.0, 90.0)
"""The broad green to yellow phosphor."""
RED_PHOSPHOR_NM: Final = (635.0, 85.0)
"""The broad red phosphor."""


@lru_cache(maxsize=64)
def white_led(kelvin: float) -> Spectrum:
    """Return the spectrum of a white LED that gives one lumen, (351,) W/nm per lm, read-only.

    Parameters
    ----------
    kelvin
        Colour temperature, K; the chromaticity is the Planckian one on this grid.

    Raises
    ------
    ValueError
        If `kelvin` is outside `WHITE_LED_RANGE`.
    """
    if not WHITE_LED_RANGE[0] <= kelvin <= WHITE_LED_RANGE[1]:
        low, high = WHITE_LED_RANGE
        raise ValueError(f"a white LED has {low} to {high} K here, not {kelvin} K")
    parts = np.array([_peak(*part) for part in (PUMP_NM, GREEN_PHOSPHOR_NM, RED_PHOSPHOR_NM)])
    weights = np.linalg.solve(np.array([xyz(part) for part in parts]).T, xyz(blackbody(kelvin)))
    return frozen(weights @ parts)


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
        If `kelvin` is not between the two, the two are not in that order, or one is no white LED's.

    Notes
    -----
    A mixture has that CCT where it lies on the isotemperature line: in CIE 1960 (u, v), at right angles to the
    Planckian locus (CIE 15:2018). How far a light lies beyond that line, times X + 15 Y + 3 Z, is linear in the light.
    """
    warm, cool = white_led(warm_kelvin), white_led(cool_kelvin)
    if not warm_kelvin < cool_kelvin:
        raise ValueError(
            f"the warm end of a bi-colour panel must be below its cool end, not {warm_kelvin} K and {cool_kelvin} K"
        )
    if not warm_kelvin <= kelvin <= cool_kelvin:
        raise ValueError(f"a bi-colour panel of {warm_kelvin} to {cool_kelvin} K cannot be set to {kelvin} K")
    beyond = _beyond_isotemperature_line(kelvin)
    at_warm, at_cool = float(beyond @ xyz(warm)), float(beyond @ xyz(cool))
    return min(max(at_warm / (at_warm - at_cool), 0.0), 1.0)


def bicolour(kelvin: float, warm_kelvin: float, cool_kelvin: float) -> Spectrum:
    """Return the spectrum of a bi-colour panel that gives one lumen, (351,) W/nm per lm.

    A warm and a cool `white_led`, mixed on the straight line between them: pinker than a blackbody of its colour
    temperature. Parameters and errors are those of `cool_share`.
    """
    share = cool_share(kelvin, warm_kelvin, cool_kelvin)
    return (1 - share) * white_led(warm_kelvin) + share * white_led(cool_kelvin)


def lumens_per_optical_watt(spectrum: Spectrum) -> float:
    """Return lumens per watt of the light of a (351,) spectrum between 380 and 730 nm.

    What a lamp radiates outside, and what it turns to heat, is not counted: a label gives lumens per electrical watt.
    Raises ValueError if the spectrum holds no light.
    """
    watts = float(np.sum(spectrum))
    if not watts > 0:
        raise ValueError("a spectrum without light has no lumens per watt")
    return luminous(spectrum) / watts


def _peak(peak_nm: float, width_nm: float) -> Spectrum:
    gaussian: Spectrum = np.exp(-4 * np.log(2) * ((WAVELENGTHS_NM - peak_nm) / width_nm) ** 2)
    return gaussian


def _beyond_isotemperature_line(kelvin: float) -> NDArray[np.float64]:
    """Return (3,): its product with XYZ is above zero for a cooler light than `kelvin`, below for a warmer one."""
    to_uv = np.array([[4.0, 0.0, 0.0], [0.0, 6.0, 0.0]])
    divisor = np.array([1.0, 15.0, 3.0])

    def locus(at_kelvin: float) -> NDArray[np.float64]:
        values = xyz(planck(at_kelvin))
        uv: NDArray[np.float64] = to_uv @ values / (divisor @ values)
        return uv

    along = locus(kelvin * (1 + 1e-6)) - locus(kelvin * (1 - 1e-6))
    line: NDArray[np.float64] = along @ (to_uv - np.outer(locus(kelvin), divisor))
    return line
