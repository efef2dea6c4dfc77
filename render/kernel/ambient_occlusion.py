"""How shut in the corners of triangles are by what stands near: where a thin wash would settle."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Surface

from .backend import mitsuba
from .loops import loop
from .sampler import Points, stream
from .scene import Triangles, Vertex

RAYS = 32
INWARD, INWARD_REACH = 0.3, 0.1
"""How far from its corner a place is looked from, to the middle of its triangle and in reaches: straight in a corner
there is no room between two walls.
"""


def shut_in(surfaces: Sequence[Surface], reach_m: float) -> list[NDArray[np.float32]]:
    """Return for each point of each surface, (n,) of 0 to 1, the share of directions blocked nearer than `reach_m`.

    Directions are over the side to which the point's normal looks, weighed by their cosine, and the mean is taken over
    the corners that meet in the point. All surfaces block.
    """
    mi = mitsuba()  # before drjit, which has to find its LLVM
    import drjit as dr

    triangles = Triangles(surfaces)
    places = np.concatenate([_near_corners(surface, reach_m) for surface in surfaces])
    normals = np.concatenate([_normals(surface)[surface.faces].reshape(-1, 3) for surface in surfaces])
    at, normal = (mi.Vector3f(*(mi.Float(column) for column in table.T.copy())) for table in (places, normals))
    vertex = Vertex(at, normal, normal, normal, mi.UInt32(0), mi.Vector2f(0.0))
    seed = stream(dr.arange(mi.UInt32, len(places)), mi.UInt32(0))
    count, reach = dr.opaque(mi.UInt32, RAYS), dr.opaque(mi.Float, reach_m)

    def cast(i: Any, blocked: Any) -> tuple[Any, Any]:
        u, v = Points(seed, i).pair(mi.UInt32(0))
        local = mi.warp.square_to_cosine_hemisphere(mi.Point2f(u, v))
        direction = mi.Frame3f(normal).to_world(local)
        blocks = triangles.between(vertex, vertex.leaving(direction) + direction * reach, mi.Bool(True))
        return i + 1, blocked + dr.select(blocks, 1.0, 0.0)

    _, blocked = loop((mi.UInt32(0), dr.zeros(mi.Float, len(places))), lambda i, _: i < count, cast, label="crevices")
    shares = np.split(np.array(blocked) / RAYS, np.cumsum([surface.faces.size for surface in surfaces])[:-1])
    return [_met(surface, share) for surface, share in zip(surfaces, shares, strict=True)]


def _near_corners(surface: Surface, reach_m: float) -> NDArray[np.float32]:
    """Return a place beside each corner of each triangle, (3 m, 3)."""
    corners = surface.vertices[surface.faces]
    inward = corners.mean(axis=1, keepdims=True) - corners
    far = np.linalg.norm(inward, axis=2, keepdims=True)
    share = np.minimum(INWARD, INWARD_REACH * reach_m / np.maximum(far, 1e-9))
    return np.asarray((corners + share * inward).reshape(-1, 3), np.float32)


def _normals(surface: Surface) -> NDArray[np.float32]:
    if surface.normals is None:
        raise ValueError(f"{surface.name} has no normals at its points")
    return surface.normals


def _met(surface: Surface, share: NDArray[np.float64]) -> NDArray[np.float32]:
    """Return the mean over the corners that meet in each point."""
    corners, count = surface.faces.ravel(), len(surface.vertices)
    total = np.bincount(corners, share, count)
    return (total / np.maximum(np.bincount(corners, minlength=count), 1)).astype(np.float32)
