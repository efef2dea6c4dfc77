"""Chromatic adaptation from one white to another."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array, frozen

D50_XYZ: Final = frozen(np.array([0.96422, 1.0, 0.82521]))
"""(3,) the white of ICC.1, under which prints are measured (ISO 13655)."""
XYZ_TO_CONES: Final = frozen(
    np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
)
"""(3, 3) from XYZ to the sharpened cone responses of Bradford (Lam 1985)."""


def bradford_matrix(from_white: ArrayLike, to_white: ArrayLike) -> Array:
    """Return the (3, 3) matrix that adapts XYZ seen under one white to XYZ under another.

    Whites are XYZ, (3,). Bradford (Lam 1985) in the linear form of ICC.1 annex E.
    """
    ratio = (XYZ_TO_CONES @ np.asarray(to_white)) / (XYZ_TO_CONES @ np.asarray(from_white))
    adapted: Array = np.linalg.solve(XYZ_TO_CONES, ratio[:, None] * XYZ_TO_CONES)
    return adapted
