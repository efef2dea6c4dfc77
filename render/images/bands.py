"""The spectral band basis: lamp images are traced in bands for a flat unit spectrum; lamp spectra are applied later.

B has the bands b_k as rows and G = B B^T is their Gram matrix. The image by a lamp of spectrum E, through an observer
c, is sum_k w_k image_k with w = G^-1 B (E c): the least-squares fit of E c in the span of the bands. Without G^-1,
by band averages, the error is ten times as large.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import COLOUR_MATCHING, MAX_LUMINOUS_EFFICACY, WAVELENGTHS_NM
from materials.light.spectra import Spectrum

BAND_COUNT: Final = 12
SPECULAR_PLANE: Final = BAND_COUNT
INDIRECT_PLANE: Final = BAND_COUNT + 1
PLANE_COUNT: Final = BAND_COUNT + 2
"""Of a lamp image: its bands, then the specular part and the indirect part."""
CENTRES_NM: Final = np.linspace(400.0, 700.0, BAND_COUNT)
RANGE_NM: Final = (379.5, 730.5)
"""Each sample of the wavelength grid stands for 1 nm, so film and Gram matrix integrate over the same range."""


def band_nodes(band: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the nodes (wavelengths_nm, values) of a band: a hat, constant beyond the first and last centre."""
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
    """Return the bands on the wavelength grid, (bands, 351); they sum to one everywhere."""
    return np.array([np.interp(WAVELENGTHS_NM, *band_nodes(k)) for k in range(BAND_COUNT)])


def band_weights(spectrum: Spectrum, observer: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the weights of band images, (n, bands), for a lamp of `spectrum` seen through `observer`.

    Parameters
    ----------
    spectrum : (351,)
        Relative to the flat unit spectrum that was traced.
    observer : (n, 351)
        Spectral weights of each response, such as colour matching functions.
    """
    bands = band_basis()
    return np.asarray(np.linalg.solve(bands @ bands.T, bands @ (observer * spectrum).T).T)


def xyz_weights(spectrum: Spectrum) -> NDArray[np.float64]:
    """Return the weights (3, bands) from band images to XYZ, Y in cd/m2, for a lamp of radiance `spectrum` (351,)."""
    return band_weights(spectrum, MAX_LUMINOUS_EFFICACY * COLOUR_MATCHING)
