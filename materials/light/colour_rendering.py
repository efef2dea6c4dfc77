"""The CIE colour rendering indices (CIE 13.3-1995)."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array

from .colour_temperature import cct_duv, uv_1960
from .illuminants import daylight, tabulated_spectra
from .observer import COLOUR_MATCHING
from .spectra import Spectrum, planck


def colour_rendering_index(spectrum: Spectrum) -> float:
    """Return the general colour rendering index R_a of a (351,) spectrum, the mean of R1 to R8.

    100 is that of the reference illuminant. Errors are those of `special_rendering_indices`.
    """
    return float(np.mean(special_rendering_indices(spectrum)[:8]))


def special_rendering_indices(spectrum: Spectrum) -> Array:
    """Return the special colour rendering indices R1 to R14 of a light, (14,), one for each test-colour sample.

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
    reference = planck(kelvin) if round(kelvin, 6) < 5000 else daylight(kelvin)
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
    return np.asarray(100 - 4.6 * np.linalg.norm(difference, axis=0))


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
