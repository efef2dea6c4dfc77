"""Straps laid on a surface."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.sweeps import Mesh, loft, swept


def band(path: Array, normals: Array, outline: Array) -> Mesh:
    """Lay a strap of the given cross-section (across, outward) along a closed path on a surface."""
    tangents = np.roll(path, -1, axis=0) - np.roll(path, 1, axis=0)
    across = np.cross(normals, tangents)
    across /= np.linalg.norm(across, axis=1, keepdims=True)
    return loft(swept(path, across, normals, outline), loop=True)
