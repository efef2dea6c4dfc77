"""The light of a lamp image under one reference spectrum: what is denoised, in linear sRGB."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Image
from materials.colour.adaptation import bradford_matrix
from materials.colour.srgb import XYZ_TO_LINEAR_SRGB
from materials.light.observer import D65_XYZ
from materials.light.spectra import blackbody, xyz

from .lamp_images import LampImage, LitLamp, lamp_xyz

REFERENCE: Final = blackbody(4000)
"""The reference spectrum, (351,) W/(m2 sr nm)."""
REFERENCE_Y: Final = float(xyz(REFERENCE)[1])
TO_D65: Final = bradford_matrix(xyz(REFERENCE) / REFERENCE_Y, D65_XYZ)
"""From XYZ under the reference spectrum to XYZ under D65."""
TO_SRGB: Final[NDArray[np.float32]] = (XYZ_TO_LINEAR_SRGB @ TO_D65).astype(np.float32)


class ReferenceLight(NamedTuple):
    """XYZ under the reference spectrum, (height, width, 3), and the share of it that is indirect, (height, width)."""

    xyz: Image
    indirect_share: Image


def reference_light(image: LampImage) -> ReferenceLight:
    """Return the light of a lamp image under the reference spectrum."""
    level = image.level
    share = np.divide(image.indirect, level, out=np.zeros_like(level), where=level > 0)
    return ReferenceLight(lamp_xyz(LitLamp(image, REFERENCE)), np.clip(share, 0.0, 1.0))
