"""Linear RGB spaces by their primaries, and the wide one of Rec. 2020."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from materials.arrays import Array, frozen
from materials.light.observer import D65_XYZ


def xyz_to_linear_rgb(primaries_xy: Sequence[tuple[float, float]], white: Array) -> Array:
    """Return the matrix, (3, 3), from XYZ to linear RGB: `white` (3,), of Y = 1, becomes (1, 1, 1) (SMPTE RP 177).

    `primaries_xy` has the chromaticities of red, green and blue.
    """
    x, y = np.array(primaries_xy).T
    primaries = np.array([x / y, np.ones(3), (1 - x - y) / y])
    return np.asarray(np.linalg.inv(primaries * np.linalg.solve(primaries, white)))


XYZ_TO_LINEAR_REC2020: Final = frozen(
    xyz_to_linear_rgb([(0.708, 0.292), (0.170, 0.797), (0.131, 0.046)], white=D65_XYZ)
)
"""(3, 3) from XYZ, white D65 at Y = 1, to linear RGB of Recommendation ITU-R BT.2020."""
