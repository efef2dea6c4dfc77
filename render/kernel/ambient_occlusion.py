"""Ambient occlusion at the vertices of surfaces, by which a thin wash settles in recesses."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Surface

from .backend import mitsuba
from .loops import while_loop
from .opaque import opaque_float, opaque_integer
from .paths.sampler import Sampler, sequence_seed
from .surface_point import SurfacePoint
from .triangle_mesh import TriangleMesh

RAYS = 64
MAX_INSET, MAX_INSET_REACH = 0.3, 0.1
"""How far rays start from a corner towards the middle of its triangle: at most this fraction of the way, and this
fraction of the reach. In the corner itself, between two walls, a ray has no room.
"""


def vertex_occlusion(surfaces: Sequence[Surface], reach_m: float) -> list[NDArray[np.float32]]:
    """Return the occlusion at the vertices of each surface, (n,): 0 in the open to 1 where it is closed in.

    The cosine-weighted fraction of the hemisphere about the vertex normal in which any of the surfaces lies nearer than
    `reach_m`; the mean over the triangles that meet at the vertex.

    Raises
    ------
    ValueError
        If a surface has no vertex normals.
    """
    mi = mitsuba()  # before drjit, which has to find its LLVM
    import drjit as dr

    mesh = TriangleMesh(surfaces)
    positions = np.concatenate([_inset_corners(surface, reach_m) for surface in surfaces])
    normals = np.concatenate([_vertex_normals(surface)[surface.faces].reshape(-1, 3) for surface in surfaces])
    position, normal = (mi.Vector3f(*(mi.Float(column) for column in rows.T.copy())) for rows in (positions, normals))
    point = SurfacePoint(position, normal, normal, normal, mi.UInt32(0), mi.Vector2f(0.0))
    seed = sequence_seed(dr.arange(mi.UInt32, len(positions)), mi.UInt32(0))
    count, reach = opaque_integer(RAYS), opaque_float(reach_m)

    def cast_ray(i: Any, occluded: Any) -> tuple[Any, Any]:
        u, v = Sampler(seed, i).sample_2d(mi.UInt32(0))
        local = mi.warp.square_to_cosine_hemisphere(mi.Point2f(u, v))
        direction = mi.Frame3f(normal).to_world(local)
        is_occluded = mesh.is_occluded(point, point.ray_origin(direction) + direction * reach, mi.Bool(True))
        return i + 1, occluded + dr.select(is_occluded, 1.0, 0.0)

    zeros = dr.zeros(mi.Float, len(positions))
    _, occluded = while_loop((mi.UInt32(0), zeros), lambda i, _: i < count, cast_ray, label="ambient occlusion")
    corner_counts = [surface.faces.size for surface in surfaces]
    occlusion = np.split(np.array(occluded) / RAYS, np.cumsum(corner_counts)[:-1])
    return [_vertex_means(surface, corners) for surface, corners in zip(surfaces, occlusion, strict=True)]


def _inset_corners(surface: Surface, reach_m: float) -> NDArray[np.float32]:
    """Return a position near each corner of each triangle, (3 m, 3)."""
    corners = surface.vertices[surface.faces]
    to_centroid = corners.mean(axis=1, keepdims=True) - corners
    distance = np.linalg.norm(to_centroid, axis=2, keepdims=True)
    inset = np.minimum(MAX_INSET, MAX_INSET_REACH * reach_m / np.maximum(distance, 1e-9))
    return np.asarray((corners + inset * to_centroid).reshape(-1, 3), np.float32)


def _vertex_normals(surface: Surface) -> NDArray[np.float32]:
    if surface.normals is None:
        raise ValueError(f"{surface.name} has no vertex normals")
    return surface.normals


def _vertex_means(surface: Surface, corner_values: NDArray[np.float64]) -> NDArray[np.float32]:
    """Return the mean, at each vertex, over the corners that meet there."""
    corners, count = surface.faces.ravel(), len(surface.vertices)
    total = np.bincount(corners, corner_values, count)
    return (total / np.maximum(np.bincount(corners, minlength=count), 1)).astype(np.float32)
