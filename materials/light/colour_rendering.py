"""The CIE colour rendering index."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from materials.arrays import Array

from .colour_temperature import cct_duv, uv_1960
from .illuminants import daylight, tabulated_spectra
from .observer import COLOUR_MATCHING
from .spectra import Spectrum, planck


@dataclass(frozen=True)
class ColourRendering:
    """The colour rendering indices of one light by CIE 13.3-1995; 100 is that of the reference illuminant."""

    special: tuple[float, ...]
    """R1 to R14, one for each test-colour sample."""
    kelvin: float
    """Correlated colour temperature of the light and of its reference illuminant, K."""
    chromaticity_difference: float
    """From the reference illuminant, in CIE 1960 (u, v); above .0054 the indices mean little (CIE 13.3)."""

    @property
    def general(self) -> float:
        """R_a, the mean of R1 to R8."""
        return float(np.mean(self.special[:8]))


def colour_rendering_index(spectrum: Spectrum) -> float:
    """Return the general colour rendering index R_a of a (351,) spectrum; errors are those of `colour_rendering`."""
    return colour_rendering(spectrum).general


def colour_rendering(spectrum: Spectrum) -> ColourRendering:
    """Return the colour rendering indices of a light.

    Parameters
    ----------
    spectrum
        (351,), in any unit of power per nm.

    Raises
    ------
    ValueError
        If the light has no correlated colour temperature within `spectra.KELVIN_RANGE`, and so no reference.

    Notes
    -----
    CIE 13.3-1995: a blackbody is the reference below 5000 K, CIE daylight from there on. The sums end at 730 nm
    instead of 780, which changes R_a by less than 0.1 and each of R1 to R14 by less than 0.6 for the CIE's lamps.
    """
    kelvin, _ = cct_duv(spectrum)
    reference = planck(kelvin) if kelvin < 5000 else daylight(kelvin)
    white, reference_white = (uv_1960(COLOUR_MATCHING @ light)[:, None] for light in (spectrum, reference))
    samples, lightness = _samples(spectrum)
    reference_samples, reference_lightness = _samples(reference)
    difference = np.vstack(
        [
            13 * lightness * (_adapted_uv(samples, white, reference_white) - reference_white)
            - 13 * reference_lightness * (reference_samples - reference_white),
            lightness - reference_lightness,
        ]
    )
    special = 100 - 4.6 * np.linalg.norm(difference, axis=0)
    return ColourRendering(
        tuple(float(index) for index in special), kelvin, float(np.linalg.norm(white - reference_white))
    )


def _samples(light: Spectrum) -> tuple[Array, Array]:
    """Return (u, v), (2, 14), and CIE 1964 lightness W*, (14,), of the test-colour samples in a light."""
    reflectances = np.array(list(tabulated_spectra("test_colours.csv").values()))
    values = COLOUR_MATCHING @ (reflectances * light).T
    luminances = 100 * values[1] / (COLOUR_MATCHING[1] @ light)
    return uv_1960(values), 25 * np.cbrt(luminances) - 17


def _adapted_uv(samples: Array, white: Array, reference_white: Array) -> Array:
    """Return (u, v), (2, 14), after von Kries adaptation to the reference white, as CIE 13.3 writes it."""
    c, d = _von_kries(samples) * _von_kries(reference_white) / _von_kries(white)
    uv: Array = np.array([10.872 + 0.404 * c - 4 * d, np.full_like(c, 5.520)])
    uv /= 16.518 + 1.481 * c - d
    return uv


def _von_kries(uv: Array) -> Array:
    u, v = uv
    cd: Array = np.array([4 - u - 10 * v, 1.708 * v + 0.404 - 1.481 * u]) / v
    return cd
