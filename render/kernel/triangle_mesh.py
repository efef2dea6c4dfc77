"""Surfaces as a mesh that rays are traced through."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Surface

from .backend import mitsuba
from .surface_point import OFFSET, RaySegment, SurfacePoint


class TriangleMesh:
    """Surfaces as one mesh that rays are traced through; of no surfaces, empty space."""

    def __init__(self, surfaces: Sequence[Surface]) -> None:
        mi = mitsuba()
        mesh = _merged_mesh(surfaces) if surfaces else None
        self._scene = mi.load_dict({"type": "scene", **({"mesh": mesh} if mesh else {})})
        buffers = mi.traverse(mesh) if mesh else {}
        self._positions = buffers.get("vertex_positions", mi.Float(0.0))
        self._normals = buffers.get("vertex_normals", mi.Float(0.0))
        self._triangles = buffers.get("faces", mi.UInt32(0))

    def intersect(
        self, origin: Any, direction: Any, active: Any, coherent: bool = False
    ) -> tuple[SurfacePoint, RaySegment]:
        """Return the first surface point along a ray, and the segment up to it.

        `coherent` says that rays of neighbouring lanes are close together.
        """
        import drjit as dr

        mi = mitsuba()
        found = self._scene.ray_intersect_preliminary(
            mi.Ray3f(mi.Point3f(origin), mi.Vector3f(direction)), coherent=coherent, active=active
        )
        hit = found.is_valid() & active
        b, c = found.prim_uv
        corners = dr.gather(mi.Vector3u, self._triangles, found.prim_index, hit)
        p, q, r = (dr.gather(mi.Vector3f, self._positions, corner, hit) for corner in corners)
        normals = [dr.gather(mi.Vector3f, self._normals, corner, hit) for corner in corners]
        edge_1, edge_2 = q - p, r - p
        position = dr.fma(edge_2, c, dr.fma(edge_1, b, p))
        normal = dr.normalize(dr.cross(edge_1, edge_2))
        shading_normal = dr.normalize(normals[0] * (1.0 - b - c) + normals[1] * b + normals[2] * c)
        point = SurfacePoint(position, normal, shading_normal, -direction, found.prim_index, mi.Vector2f(b, c))
        return point, RaySegment(origin, direction, dr.select(hit, found.t, dr.inf))

    def is_occluded(self, point: SurfacePoint, target: Any, active: Any) -> Any:
        """Return whether a triangle lies between a surface point and a target position."""
        import drjit as dr

        mi = mitsuba()
        origin = point.ray_origin(target - point.position)
        to_target = target - origin
        distance = dr.norm(to_target)
        ray = mi.Ray3f(mi.Point3f(origin), to_target / distance)
        ray.maxt = distance * (1.0 - 10 * OFFSET)
        return self._scene.ray_test(ray, False, active)


def _merged_mesh(surfaces: Sequence[Surface]) -> Any:
    mi = mitsuba()
    arrays = [_with_normals(surface) for surface in surfaces]
    starts = np.cumsum([0, *(len(vertices) for vertices, _, _ in arrays)])
    vertices, normals = (np.concatenate([array[i] for array in arrays]) for i in (0, 1))
    triangles = np.concatenate([array[2] + start for array, start in zip(arrays, starts, strict=False)])
    mesh = mi.Mesh("geometry", len(vertices), len(triangles), has_vertex_normals=True)
    buffers = mi.traverse(mesh)
    buffers["vertex_positions"] = vertices.ravel()
    buffers["vertex_normals"] = normals.ravel()
    buffers["faces"] = triangles.astype(np.uint32).ravel()
    buffers.update()
    return mesh


def _with_normals(surface: Surface) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.int32]]:
    """Return vertices, normals and triangles; flat triangles get vertices of their own."""
    if surface.normals is not None:
        return surface.vertices, surface.normals, surface.faces
    corners = surface.vertices[surface.faces]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(cross, axis=1, keepdims=True)
    normals = np.repeat(cross / np.where(length > 0, length, 1.0), 3, axis=0).astype(np.float32)
    return corners.reshape(-1, 3), normals, np.arange(3 * len(corners), dtype=np.int32).reshape(-1, 3)
