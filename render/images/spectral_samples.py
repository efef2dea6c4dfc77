"""From band images to values at wavelengths, as a file of a spectral picture has them.

A band image is an integral over its hat, no value at a wavelength. The least-squares fit G^-1 times the band images is
one: r(lambda), linear between the values at the band centres, is what the pixel sends of a flat unit spectrum. Of a
lamp of spectrum E it sends r E, whose samples by 5 nm are band weights too, with sampling kernels for an observer.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from materials.arrays import Array, frozen
from materials.light.observer import COLOUR_MATCHING, MAX_LUMINOUS_EFFICACY, WAVELENGTHS_NM
from materials.light.spectra import Spectrum

from .bands import BAND_COUNT, CENTRES_NM, band_basis, band_weights

STEP_NM: Final = 5
MARGIN: Final = 8
"""Samples beyond either end, by which a cardinal function has died away."""
SAMPLES_NM: Final = frozen(WAVELENGTHS_NM[::STEP_NM])
"""(71,) nm, by the 5 nm of CIE 15."""
NODES_NM: Final = frozen(np.concatenate([WAVELENGTHS_NM[:1], CENTRES_NM, WAVELENGTHS_NM[-1:]]))
"""(14,) nm: the centres of the bands, and both ends of the grid."""


@lru_cache(maxsize=1)
def sampling_kernels() -> Array:
    """Return the kernel of each sample on the wavelength grid, (71, 351), each of sum one; read-only.

    The cardinal functions of a cubic spline through samples. Summed by 5 nm, samples taken with them give what the
    whole spectrum gives through any observer that such a spline follows, for the lines of fluorescent lamps too. A
    smooth spectrum has its own values for samples. Beyond its ends a spectrum goes on as its odd reflection.
    """
    from scipy.interpolate import CubicSpline

    count, margin = SAMPLES_NM.size + 2 * MARGIN, STEP_NM * MARGIN
    samples = np.arange(count) * STEP_NM
    cardinal = CubicSpline(samples, np.eye(count))(np.arange(samples[-1] + 1)).T[MARGIN:-MARGIN]
    extended = np.pad(np.eye(WAVELENGTHS_NM.size), ((margin, margin), (0, 0)), "reflect", reflect_type="odd")
    kernels: Array = cardinal @ extended
    return frozen(kernels / kernels.sum(axis=1, keepdims=True))


def sampled(spectrum: Spectrum) -> Array:
    """Return the samples (71,) of a spectrum (351,), in its unit."""
    samples: Array = sampling_kernels() @ spectrum
    return samples


def sample_weights(spectrum: Spectrum) -> Array:
    """Return the weights (71, bands) from band images to samples of the light by a lamp of `spectrum` (351,)."""
    return band_weights(spectrum, sampling_kernels())


def node_weights() -> Array:
    """Return the weights (14, bands) from band images to what is sent of a flat unit spectrum at `NODES_NM`."""
    bands = band_basis()
    at_centres = np.asarray(np.linalg.inv(bands @ bands.T), np.float64)
    return at_centres[np.clip(np.arange(-1, BAND_COUNT + 1), 0, BAND_COUNT - 1)]


def node_xyz_weights(spectrum: Spectrum) -> Array:
    """Return the weights (3, 14) from values at `NODES_NM`, linear between, to XYZ by a lamp of `spectrum` (351,)."""
    hats = np.array([np.interp(WAVELENGTHS_NM, NODES_NM, node) for node in np.eye(NODES_NM.size)])
    weights: Array = MAX_LUMINOUS_EFFICACY * (COLOUR_MATCHING * spectrum) @ hats.T
    return weights
