"""A geometry in the kernel: one mesh of all surfaces, and from each face the finish that it has."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description import Geometry, Surface

from .backend import mitsuba

OFFSET = 150 * 2.0**-24  # of a vertex along its normal, relative to 1 m: a hundredth of a millimetre


@dataclass
class Ray:
    """A ray, and how far it goes before it meets a surface: infinite where it meets none."""

    origin: Any
    direction: Any
    distance: Any

    @property
    def ends(self) -> Any:
        """Whether it meets a surface."""
        import drjit as dr

        return self.distance < dr.inf


@dataclass
class Vertex:
    """Where a path meets a surface: place (m), geometric and shading normal, the way back along the ray, face."""

    at: Any
    normal: Any
    shading: Any
    back: Any
    face: Any

    def leaving(self, direction: Any) -> Any:
        """Return the place from which a ray in a direction starts, clear of the surface."""
        import drjit as dr

        size = (1.0 + dr.max(dr.abs(self.at))) * OFFSET
        return dr.fma(self.normal, dr.select(dr.dot(self.normal, direction) < 0.0, -size, size), self.at)


class Side:
    """Directions about a vertex, z along its shading normal on the side where the path came from.

    Sheets and parts are the same from both sides.
    """

    def __init__(self, vertex: Vertex) -> None:
        import drjit as dr

        self.frame = mitsuba().Frame3f(vertex.shading)
        self.sign = dr.select(dr.dot(vertex.shading, vertex.back) < 0.0, -1.0, 1.0)

    def local(self, direction: Any) -> Any:
        """Return a direction of the scene as seen from here."""
        turned = self.frame.to_local(direction)
        turned.z *= self.sign
        return turned

    def world(self, direction: Any) -> Any:
        """Return a direction from here as one of the scene."""
        return self.frame.to_world(mitsuba().Vector3f(direction.x, direction.y, direction.z * self.sign))


class Scene:
    """A geometry that rays can be traced through."""

    def __init__(self, geometry: Geometry) -> None:
        self.surfaces = geometry.surfaces
        mi = mitsuba()
        counts = [len(surface.faces) for surface in geometry.surfaces]
        of_face = np.repeat(np.arange(len(counts), dtype=np.uint32), counts) if counts else np.zeros(1, np.uint32)
        self.surface_of_face = mi.UInt32(of_face)
        mesh = {"mesh": _one_mesh(geometry.surfaces)} if counts else {}
        self._traced = mi.load_dict({"type": "scene", **mesh})

    def meet(self, origin: Any, direction: Any, active: Any, coherent: bool = False) -> tuple[Vertex, Ray]:
        """Return the first vertex along a ray, and the ray as far as there."""
        import drjit as dr

        mi = mitsuba()
        ray = mi.Ray3f(mi.Point3f(origin), mi.Vector3f(direction))
        hit = self._traced.ray_intersect(ray, mi.RayFlags.ShadingFrame, coherent, active)
        is_hit = hit.is_valid() & active
        at, normal, shading = map(mi.Vector3f, (hit.p, hit.n, hit.sh_frame.n))
        vertex = Vertex(at, normal, shading, -direction, hit.prim_index)
        return vertex, Ray(origin, direction, dr.select(is_hit, hit.t, dr.inf))

    def blocked(self, vertex: Vertex, point: Any, active: Any) -> Any:
        """Return whether something stands between a vertex and a point."""
        import drjit as dr

        mi = mitsuba()
        start = vertex.leaving(point - vertex.at)
        across = point - start
        far = dr.norm(across)
        ray = mi.Ray3f(mi.Point3f(start), across / far)
        ray.maxt = far * (1.0 - 10 * OFFSET)
        return self._traced.ray_test(ray, False, active)


def _one_mesh(surfaces: tuple[Surface, ...]) -> Any:
    mi = mitsuba()
    parts = [_with_normals(surface) for surface in surfaces]
    starts = np.cumsum([0, *(len(vertices) for vertices, _, _ in parts)])
    vertices, normals = (np.concatenate([part[i] for part in parts]) for i in (0, 1))
    faces = np.concatenate([part[2] + start for part, start in zip(parts, starts, strict=False)])
    mesh = mi.Mesh("geometry", len(vertices), len(faces), has_vertex_normals=True)
    values = mi.traverse(mesh)
    values["vertex_positions"] = vertices.ravel()
    values["vertex_normals"] = normals.ravel()
    values["faces"] = faces.astype(np.uint32).ravel()
    values.update()
    return mesh


def _with_normals(surface: Surface) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.int32]]:
    """Return vertices, normals and faces; flat faces get vertices of their own."""
    if surface.normals is not None:
        return surface.vertices, surface.normals, surface.faces
    corners = surface.vertices[surface.faces]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(across, axis=1, keepdims=True)
    normals = np.repeat(across / np.where(length > 0, length, 1.0), 3, axis=0).astype(np.float32)
    return corners.reshape(-1, 3), normals, np.arange(3 * len(corners), dtype=np.int32).reshape(-1, 3)
