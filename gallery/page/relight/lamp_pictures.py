"""The pictures of a frame's lamps, each alone and undimmed, as layers of a page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from materials.arrays import Image
from materials.light.spectra import Spectrum

from .codes import light_codes, ratio_codes
from .colour_fit import balanced_matrix
from .layers import Layers
from .reduction import reduced

EXPOSURE_STOPS: Final = 3
"""How far a page changes the exposure, either way: what is beyond white at the shortest is clipped."""
LITTLE: Final = 2e-5
"""Of the scale, added to both sides of a ratio: black has no colour."""


def embed_pictures(
    pictures: Sequence[Image], radiances: Sequence[Spectrum], white_cd_m2: float, layers: Layers
) -> tuple[list[int], float]:
    """Add a lamp's pictures, XYZ (height, width, 3) by one or two radiances (351,), to the layers of a page.

    In channels that are balanced to the white of each radiance.

    Returns
    -------
    The numbers of the layers: of the lamp's own light, then of the ratio to it of that by the second radiance. And the
    light that is 1 on their curve, cd/m2.
    """
    own, *other = (_balanced(reduced(picture), by) for picture, by in zip(pictures, radiances, strict=True))
    scale = float(min(max(own.max(), 1e-6), white_cd_m2 * 2**EXPOSURE_STOPS))
    little = np.float32(LITTLE * scale)
    codes = [light_codes(own / np.float32(scale)), *(ratio_codes((each + little) / (own + little)) for each in other)]
    return [layers.add(code) for code in codes], scale


def _balanced(xyz: Image, radiance: Spectrum) -> Image:
    channels: Image = xyz @ balanced_matrix(radiance).T.astype(np.float32)
    return np.asarray(np.maximum(channels, 0.0))
