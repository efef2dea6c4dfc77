"""The likeliest reflectance of a colour, by the statistics of measured surfaces: paints, plastics, prints, textiles.

The logit of a reflectance r, ln(r / (1 - r)), is a level plus a deviation. Deviations are taken as normally distributed
about 0, flat as grey surfaces nearly are, with the second moments of measured surfaces of like hue. Of all reflectances
of a colour the likeliest is that whose deviation has the least Mahalanobis norm; its level is free. After Maloney
("Evaluation of linear models of surface spectral reflectance with small numbers of parameters", 1986) in using few
characteristic spectra, and Otsu, Yamamoto and Hachisuka ("Reproducing spectral reflectances from tristimulus colours",
2018) in taking those of like colours.
"""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np

from materials.arrays import Array, frozen
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum
from materials.packaged import packaged_columns

from .lab import xyz_to_lab
from .srgb import REFLECTANCE_TO_LINEAR_SRGB, XYZ_TO_LINEAR_SRGB

HUE_CONCENTRATION: Final = 4.0
"""Of the von Mises weights, exp(k cos dh), of surfaces by hue: half at 34 degrees off."""
_FREE_LEVEL: Final = 100.0
"""Standard deviation of the level, logit: as good as free."""
_ITERATIONS: Final = 80
_LONGEST_STEP: Final = 1.5
_TOLERANCE: Final = 1e-9


def likely_reflectance(linear: Array) -> Spectrum:
    """Return a reflectance, (351,) within 0 to 1, of a linear sRGB colour under D65, (3,).

    Of a colour far from every measured surface's it need not have the colour.
    """
    components = _components(_hue(linear))
    grey = np.clip(linear.mean(), 0.02, 0.98)
    amounts = np.zeros(components.shape[1])
    amounts[0] = np.log(grey / (1 - grey)) / _FREE_LEVEL
    for _ in range(_ITERATIONS):
        reflectance = _logistic(components @ amounts)
        residual = linear - REFLECTANCE_TO_LINEAR_SRGB @ reflectance
        if np.abs(residual).max() < _TOLERANCE:
            break
        slope = (reflectance * (1 - reflectance))[:, None] * components
        jacobian = REFLECTANCE_TO_LINEAR_SRGB @ slope
        least_norm = np.linalg.pinv(jacobian) @ (residual + jacobian @ amounts)
        step = least_norm - amounts
        longest = np.abs(components @ step).max()
        amounts += step * min(1.0, _LONGEST_STEP / max(longest, _TOLERANCE))
    return _logistic(components @ amounts)


def _components(hue: float) -> Array:
    """Return the components of a logit of unit variance each, (351, 1 + n): its level, and deviations near a hue."""
    deviations, surfaces, hues = _measured()
    weights = np.exp(HUE_CONCENTRATION * (np.cos(hues - hue) - 1))
    moments = (surfaces * weights[:, None]).T @ surfaces / weights.sum()
    level = np.full((WAVELENGTHS_NM.size, 1), _FREE_LEVEL)
    return np.hstack([level, deviations @ np.linalg.cholesky(moments)])


@cache
def _measured() -> tuple[Array, Array, Array]:
    """Return characteristic deviations (351, n), the surfaces as amounts of them (m, n), and their hues (m,) rad."""
    table = packaged_columns("materials.colour", "data/deviations.csv")
    nm = table.pop("wavelength_nm")
    deviations = np.array([np.interp(WAVELENGTHS_NM, nm, deviation) for deviation in table.values()]).T
    surfaces = packaged_columns("materials.colour", "data/surfaces.csv")
    hues = np.radians(surfaces.pop("hue_deg"))
    return frozen(deviations), frozen(np.array(list(surfaces.values())).T), frozen(hues)


def _hue(linear: Array) -> float:
    """Return the hue angle in Lab, rad, of linear sRGB."""
    _, a, b = xyz_to_lab(np.asarray(np.linalg.solve(XYZ_TO_LINEAR_SRGB, linear), dtype=np.float64))
    return float(np.arctan2(b, a))


def _logistic(logit: Array) -> Array:
    """Return r of ln(r / (1 - r))."""
    return np.asarray(1 / (1 + np.exp(-logit)))
