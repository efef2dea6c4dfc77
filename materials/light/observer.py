"""The wavelength grid of every spectrum, and on it the CIE standard observer and standard illuminant D65."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.arrays import frozen
from materials.packaged import packaged_columns

MAX_LUMINOUS_EFFICACY: Final = 683.002
"""K_m, lm/W: the maximum of photopic luminous efficacy (CIE 15:2018; the SI fixes 683 at 540 THz, beside the peak)."""

_TABLE: Final = packaged_columns("materials.light", "data/observer.csv")

WAVELENGTHS_NM: Final = frozen(np.arange(380, 731, dtype=np.float64))
"""(351,) nm: 380 to 730 by 1."""

if not np.array_equal(_TABLE["wavelength_nm"], WAVELENGTHS_NM):
    raise ImportError("materials/light/data/observer.csv does not hold 380 to 730 nm by 1 nm: reinstall spruelight")

COLOUR_MATCHING: Final = frozen(np.array([_TABLE[name] for name in ("xbar", "ybar", "zbar")]))
"""(3, 351): xbar, ybar, zbar of the CIE 1931 2-degree observer (ISO/CIE 11664-1)."""

D65: Final = frozen(_TABLE["d65"].copy())
"""(351,) relative power of CIE standard illuminant D65 (ISO/CIE 11664-2), 100 at 560 nm."""

D65_XYZ: Final = frozen(COLOUR_MATCHING @ D65 / (COLOUR_MATCHING[1] @ D65))
"""(3,) tristimulus values of D65 with Y = 1, summed on this grid."""
