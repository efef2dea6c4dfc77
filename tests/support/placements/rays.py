"""Segments against triangles: Moller and Trumbore, "Fast, minimum storage ray/triangle intersection", 1997."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.arrays import Array, Mask

PAIRS_AT_ONCE: Final = 2_000_000


def are_crossed(starts: Array, ends: Array, triangles: Array) -> Mask:
    """Return (n,) which segments between `starts` and `ends`, both (n, 3), cross any of the triangles (m, 3, 3)."""
    starts, ends = np.broadcast_arrays(starts, ends)
    step = max(1, PAIRS_AT_ONCE // max(1, len(triangles)))
    parts = [_crossed(starts[i : i + step], ends[i : i + step], triangles) for i in range(0, len(starts), step)]
    return np.concatenate(parts) if parts else np.zeros(0, bool)


def _crossed(starts: Array, ends: Array, triangles: Array) -> Mask:
    corner, one, other = triangles[:, 0], triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    normals = np.cross(one, other)
    along = ends - starts
    # of a point p + t d in the plane with normal n = e1 x e2: t = (c - p) n / d n, and with q = (p - c) x d
    # the barycentric coordinates are -e2 q / d n and e1 q / d n, up to a common sign
    offset = starts[:, None] - corner
    volume = -(along @ normals.T)
    moment = np.cross(offset, along[:, None])
    with np.errstate(divide="ignore", invalid="ignore"):
        t = np.einsum("nmk,mk->nm", offset, normals) / volume
        u = np.einsum("nmk,mk->nm", moment, other) / volume
        v = -np.einsum("nmk,mk->nm", moment, one) / volume
        inside = (u >= 0) & (v >= 0) & (u + v <= 1) & (t > 0) & (t < 1)
    return np.asarray(inside.any(axis=1))
