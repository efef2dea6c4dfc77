"""Observer, illuminant and physical constants, each with its source, on the one wavelength grid."""

from __future__ import annotations

from importlib.resources import files
from typing import Final

import numpy as np
from numpy.typing import NDArray

# Exact since the 2019 revision of the SI (BIPM, SI Brochure, 9th edition).
PLANCK_CONSTANT: Final = 6.62607015e-34
"""h, J s."""
SPEED_OF_LIGHT: Final = 299792458.0
"""c, m/s."""
BOLTZMANN_CONSTANT: Final = 1.380649e-23
"""k, J/K."""
STEFAN_BOLTZMANN: Final = 2 * np.pi**5 * BOLTZMANN_CONSTANT**4 / (15 * PLANCK_CONSTANT**3 * SPEED_OF_LIGHT**2)
"""sigma, W/(m2 K4), from the three constants above."""
WIEN_DISPLACEMENT: Final = 2.897771955e-3
"""b, m K (CODATA 2018)."""
LUMENS_PER_WATT: Final = 683.002
"""K_m, lm/W: the maximum of photopic efficacy (CIE 15:2018; the SI fixes 683 at 540 THz, beside the peak)."""


def frozen(array: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return `array` itself, made read-only."""
    array.setflags(write=False)
    return array


def _read_observer() -> NDArray[np.float64]:
    text = files("materials.light").joinpath("data", "observer.csv").read_text(encoding="utf-8")
    rows = [line for line in text.splitlines() if line[:1].isdigit()]
    return np.array([[float(cell) for cell in row.split(",")] for row in rows], dtype=np.float64).T


def _linear_srgb_from_xyz(white: NDArray[np.float64]) -> NDArray[np.float64]:
    """Matrix from the primaries of IEC 61966-2-1 and a white of Y = 1 (SMPTE RP 177)."""
    x = np.array([0.64, 0.30, 0.15])
    y = np.array([0.33, 0.60, 0.06])
    primaries = np.array([x / y, np.ones(3), (1 - x - y) / y])
    return np.linalg.inv(primaries * np.linalg.solve(primaries, white))


_TABLE: Final = _read_observer()

WAVELENGTHS_NM: Final = frozen(np.arange(380, 731, dtype=np.float64))
"""(351,) nm: 380 to 730 by 1."""

if not np.array_equal(_TABLE[0], WAVELENGTHS_NM):
    raise ImportError("materials/light/data/observer.csv does not hold 380 to 730 nm by 1 nm: reinstall spruelight")

COLOUR_MATCHING: Final = frozen(_TABLE[1:4].copy())
"""(3, 351): xbar, ybar, zbar of the CIE 1931 2-degree observer (ISO/CIE 11664-1)."""

D65: Final = frozen(_TABLE[4].copy())
"""(351,) relative power of CIE standard illuminant D65 (ISO/CIE 11664-2), 100 at 560 nm."""

D65_XYZ: Final = frozen(COLOUR_MATCHING @ D65 / (COLOUR_MATCHING[1] @ D65))
"""(3,) tristimulus values of D65 with Y = 1, summed on this grid."""

XYZ_TO_LINEAR_SRGB: Final = frozen(_linear_srgb_from_xyz(D65_XYZ))
"""(3, 3) from XYZ, white D65 at Y = 1, to linear sRGB; the white of this grid becomes (1, 1, 1) exactly."""
