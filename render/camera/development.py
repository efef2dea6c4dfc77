"""Development of light into a picture: white point, frame white, sRGB encoding."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from materials.colour.adaptation import bradford_matrix
from materials.colour.srgb import XYZ_TO_LINEAR_SRGB, srgb_encode
from materials.light.observer import D65_XYZ

from .exposure import Exposure


def develop(xyz: NDArray[np.float32], exposure: Exposure, white_xyz: NDArray[np.float64]) -> NDArray[np.float32]:
    """Return linear sRGB, 1 at the frame's white, of XYZ in cd/m2; both (height, width, 3).

    `white_xyz` (3,) is adapted to D65 (Bradford) and so rendered neutral.
    """
    to_rgb = XYZ_TO_LINEAR_SRGB @ bradford_matrix(white_xyz / white_xyz[1], D65_XYZ)
    linear: NDArray[np.float32] = xyz @ (to_rgb.T / exposure.white_cd_m2).astype(np.float32)
    return linear


def encode(linear: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Return 8-bit sRGB (IEC 61966-2-1) of linear sRGB, clipped to 0 to 1."""
    encoded: NDArray[np.uint8] = np.round(255.0 * srgb_encode(np.clip(linear, 0.0, 1.0))).astype(np.uint8)
    return encoded
