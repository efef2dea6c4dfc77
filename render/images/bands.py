"""The spectral band basis: lamp images are traced once, in bands, for a flat unit lamp; any lamp comes after.

With b_k the bands and G their Gram matrix, the light a flat lamp sends to a pixel is projected on the bands, and
a lamp of spectrum E seen by a weight c (an observer) gives sum_k w_k image_k with w = G^-1 B (E c): the least
squares fit of the response within the bands' span. Plain averages instead of G^-1 are ten times worse.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import COLOUR_MATCHING, MAX_LUMINOUS_EFFICACY, WAVELENGTHS_NM
from materials.light.spectra import Spectrum

BAND_COUNT: Final = 12
CENTRES_NM: Final = np.linspace(400.0, 700.0, BAND_COUNT)
RANGE_NM: Final = (379.5, 730.5)
"""The grid's samples stand for 1 nm each, so film and Gram matrix integrate over the same range."""


def band_nodes(band: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the (wavelengths_nm, values) of a band: a hat, held flat outside the first and last centre."""
    wavelengths = np.concatenate([[RANGE_NM[0]], CENTRES_NM, [RANGE_NM[1]]])
    values = np.zeros(BAND_COUNT + 2)
    values[band + 1] = 1.0
    if band == 0:
        values[0] = 1.0
    if band == BAND_COUNT - 1:
        values[-1] = 1.0
    return wavelengths, values


@lru_cache(maxsize=1)
def band_basis() -> NDArray[np.float64]:
    """Return the (bands, 351) bands on the wavelength grid; they sum to one everywhere."""
    return np.array([np.interp(WAVELENGTHS_NM, *band_nodes(k)) for k in range(BAND_COUNT)])


def band_weights(spectrum: Spectrum, observer: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what to multiply a flat lamp's band image with to see a lamp of `spectrum` through `observer`.

    Parameters
    ----------
    spectrum
        (351,), relative to the flat unit lamp.
    observer
        (n, 351).

    Returns
    -------
    (n, bands).
    """
    bands = band_basis()
    return np.asarray(np.linalg.solve(bands @ bands.T, bands @ (observer * spectrum).T).T)


def xyz_weights(spectrum: Spectrum) -> NDArray[np.float64]:
    """Return (3, bands) weights that turn band images into XYZ, Y in cd/m2, for a lamp of radiance `spectrum`."""
    return band_weights(spectrum, MAX_LUMINOUS_EFFICACY * COLOUR_MATCHING)
