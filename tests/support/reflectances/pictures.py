"""The reflectance of a picture's colours as `materials.colour.mixing` states it, in numpy."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from materials.colour.mixing import BROAD_LIMITS, mixing_spectra


def picture_reflectance(linear: Array) -> Array:
    """Return the reflectance, (n, 351), of linear sRGB, (n, 3) within 0 to 1."""
    broad, narrow = mixing_spectra()
    order = np.argsort(linear, axis=1)
    smallest, middle, largest = np.sort(linear, axis=1).T[..., None]
    low, high = BROAD_LIMITS
    room = np.minimum(smallest / -low, (1 - largest) / (high - 1))
    share = np.clip(room / np.maximum(largest - smallest, 1e-6), 0, 1)
    primary, secondary = (share * broad[i] + (1 - share) * narrow[i] for i in (order[:, 2], order[:, 0] + 3))
    return np.asarray(smallest + (middle - smallest) * secondary + (largest - middle) * primary)
