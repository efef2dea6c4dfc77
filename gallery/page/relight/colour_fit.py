"""A lamp's light at any colour temperature, from its pictures at one or two."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from materials.arrays import Array
from materials.colour.adaptation import XYZ_TO_CONES, bradford_matrix
from materials.colour.rgb_space import XYZ_TO_LINEAR_REC2020
from materials.light.observer import D65_XYZ
from materials.light.spectra import Spectrum, xyz
from render.images.bands import BAND_COUNT, band_basis, xyz_weights
from render.images.lamp_images import LampImage

WHITE_SHARE: Final = 0.05
"""The weight of a white surface beside what the picture shows."""
LITTLE: Final = 1e-3
"""Of the mean luminance; darker pixels weigh less than others."""
LEAST_CONES: Final = 0.05
"""Of one kind of cone, over those of another, relative to daylight: with less light is coloured. That of 1800 K."""
LEAST_WHITE: Final = 1e-6
"""X and Z of a lamp's white, over Y, that count as none."""
SINGULAR: Final = 1e-9
"""Relative to the largest singular value: what is less is noise."""


def balanced_matrix(radiance: Spectrum) -> Array:
    """Return the matrix (3, 3) from XYZ to channels in which a lamp's own white is (1, 1, 1).

    They are linear Rec. 2020, in which nearly every colour is positive. By coloured light some are not, and they
    are X, Y and Z.
    """
    white = xyz(radiance) / xyz(radiance)[1]
    cones = (XYZ_TO_CONES @ white) / (XYZ_TO_CONES @ D65_XYZ)
    if cones.min() < LEAST_CONES * cones.max():
        return np.diag(1.0 / np.maximum(white, LEAST_WHITE))
    return np.asarray(XYZ_TO_LINEAR_REC2020 @ bradford_matrix(white, D65_XYZ))


def fit_colours(image: LampImage, anchors: Sequence[Spectrum], radiances: Sequence[Spectrum]) -> list[Array]:
    """Return for each radiance (351,) the matrix (3, 3 anchors) to XYZ from the balanced channels under all anchors.

    By least squares over the picture, relative to its luminance: exact for an anchor and for mixtures of anchors, and
    the best for the surfaces that are seen.
    """
    spread = _band_products(image, anchors[0])
    to_rgb = np.concatenate([balanced_matrix(anchor) @ xyz_weights(anchor) for anchor in anchors])
    inverse = np.linalg.pinv(to_rgb @ spread @ to_rgb.T, rcond=SINGULAR, hermitian=True)
    return [xyz_weights(radiance) @ spread @ to_rgb.T @ inverse for radiance in radiances]


def _band_products(image: LampImage, radiance: Spectrum) -> Array:
    """Return the mean products of the bands of a picture and of white, (bands, bands), relative to luminance."""
    to_luminance = xyz_weights(radiance)[1]
    luminance = np.zeros(image.plane(0).size, np.float32)
    for band in range(BAND_COUNT):
        luminance += np.float32(to_luminance[band]) * image.plane(band).ravel()
    weight = 1.0 / np.maximum(luminance, np.float32(LITTLE * luminance.mean() + np.finfo(np.float32).tiny))
    relative = np.stack([image.plane(band).ravel() * weight for band in range(BAND_COUNT)])
    white = band_basis().sum(axis=1)
    white /= to_luminance @ white
    seen = (relative @ relative.T).astype(np.float64) / relative.shape[1]
    return np.asarray(seen + WHITE_SHARE * np.outer(white, white))
