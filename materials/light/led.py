"""White LEDs: a blue diode under a green and a red phosphor, alone or as the two channels of a bi-colour panel.

A generic model, of no lamp in particular. Its chromaticity is exactly that of a blackbody, which makers aim at.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from materials.arrays import frozen

from .colour_temperature import UV_1960_DENOMINATOR, offset_along_locus, uv_1960
from .observer import WAVELENGTHS_NM
from .spectra import Spectrum, blackbody, xyz

WHITE_LED_RANGE: Final = (1600, 25000)
"""The colour temperatures, K, that `white_led` can have: just below, the blue diode's share would be negative."""

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
    components = np.array([_gaussian(*peak) for peak in (PUMP_NM, GREEN_PHOSPHOR_NM, RED_PHOSPHOR_NM)])
    weights = np.linalg.solve(np.array([xyz(component) for component in components]).T, xyz(blackbody(kelvin)))
    return frozen(weights @ components)


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
        If `kelvin` is not between the two, the two are not in that order, or one is outside `WHITE_LED_RANGE`.

    Notes
    -----
    A mixture has that CCT where it lies on the isotemperature line: in CIE 1960 (u, v), at right angles to the
    Planckian locus (CIE 15:2018). The offset from that line, times X + 15 Y + 3 Z, is linear in the light.
    """
    warm, cool = xyz(white_led(warm_kelvin)), xyz(white_led(cool_kelvin))
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


def bicolour_led(kelvin: float, warm_kelvin: float, cool_kelvin: float) -> Spectrum:
    """Return the spectrum of a bi-colour panel that gives one lumen, (351,) W/nm per lm.

    A mixture of a warm and a cool `white_led`: pinker than a blackbody of its colour temperature. Parameters and errors
    are those of `cool_share`.
    """
    share = cool_share(kelvin, warm_kelvin, cool_kelvin)
    return (1 - share) * white_led(warm_kelvin) + share * white_led(cool_kelvin)


def _gaussian(peak_nm: float, width_nm: float) -> Spectrum:
    """Return a Gaussian of height 1, (351,), by its peak and its full width at half maximum."""
    gaussian: Spectrum = np.exp(-4 * np.log(2) * ((WAVELENGTHS_NM - peak_nm) / width_nm) ** 2)
    return gaussian
