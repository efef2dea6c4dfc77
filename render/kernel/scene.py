"""A geometry in the kernel: one mesh of all surfaces, and from each face the finish that it has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Geometry, Surface

from .backend import mitsuba

OFFSET = 150 * 2.0**-24  # of a vertex along its normal, relative to 1 m: a hundredth of a millimetre


@dataclass
class Ray:
    """A ray, and how far it goes before it meets a surface: infinite where it meets none.

    Light is looked for from `near` on: where a ray goes straight on through glass, what lies before was looked for.
    """

    origin: Any
    direction: Any
    distance: Any
    near: Any = 0.0

    @property
    def ends(self) -> Any:
        """Whether it meets a surface."""
        import drjit as dr

        return self.distance < dr.inf


@dataclass
class Vertex:
    """Where a path meets a surface: place (m), geometric and shading normal, the way back along the ray, face.

    `within` says where on the face, by the weights of its second and third corner.
    """

    at: Any
    normal: Any
    shading: Any
    back: Any
    face: Any
    within: Any

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


class Triangles:
    """Surfaces as one mesh that rays are traced through."""

    def __init__(self, surfaces: Sequence[Surface]) -> None:
        mi = mitsuba()
        self._mesh = _one_mesh(surfaces) if surfaces else None
        self._scene = mi.load_dict({"type": "scene", **({"mesh": self._mesh} if self._mesh else {})})
        values = mi.traverse(self._mesh) if self._mesh else {}
        self._at, self._normals = (values.get(f"vertex_{what}", mi.Float(0.0)) for what in ("positions", "normals"))
        self._faces = values.get("faces", mi.UInt32(0))

    def meet(self, origin: Any, direction: Any, active: Any, coherent: bool = False) -> tuple[Vertex, Ray]:
        """Return the first vertex along a ray, and the ray as far as there."""
        import drjit as dr

        mi = mitsuba()
        found = self._scene.ray_intersect_preliminary(
            mi.Ray3f(mi.Point3f(origin), mi.Vector3f(direction)), coherent=coherent, active=active
        )
        hit = found.is_valid() & active
        b, c = found.prim_uv
        corners = dr.gather(mi.Vector3u, self._faces, found.prim_index, hit)
        p, q, r = (dr.gather(mi.Vector3f, self._at, corner, hit) for corner in corners)
        shading = [dr.gather(mi.Vector3f, self._normals, corner, hit) for corner in corners]
        along, across = q - p, r - p
        at = dr.fma(across, c, dr.fma(along, b, p))
        normal = dr.normalize(dr.cross(along, across))
        bent = dr.normalize(shading[0] * (1.0 - b - c) + shading[1] * b + shading[2] * c)
        vertex = Vertex(at, normal, bent, -direction, found.prim_index, mi.Vector2f(b, c))
        return vertex, Ray(origin, direction, dr.select(hit, found.t, dr.inf))

    def between(self, vertex: Vertex, point: Any, active: Any) -> Any:
        """Return whether any of them stands between a vertex and a point."""
        import drjit as dr

        mi = mitsuba()
        start = vertex.leaving(point - vertex.at)
        across = point - start
        far = dr.norm(across)
        ray = mi.Ray3f(mi.Point3f(start), across / far)
        ray.maxt = far * (1.0 - 10 * OFFSET)
        return self._scene.ray_test(ray, False, active)


class Scene:
    """A geometry that rays can be traced through."""

    def __init__(self, geometry: Geometry) -> None:
        self.shape = geometry.shape
        surfaces, order = geometry.surfaces, traced_order(geometry.surfaces)
        self.surface_of_face = _surface_of_face(surfaces, order)
        solid = [surfaces[i] for i in order if not _is_clear(surfaces[i])]
        self.all = Triangles([surfaces[i] for i in order])
        self.glass = Glass(surfaces) if len(solid) < len(surfaces) else None
        self.solid = Triangles(solid) if self.glass else self.all


class Glass:
    """The clear surfaces alone."""

    def __init__(self, surfaces: Sequence[Surface]) -> None:
        numbers = [i for i, surface in enumerate(surfaces) if _is_clear(surface)]
        self.surface_of_face = _surface_of_face(surfaces, numbers)
        self.triangles = Triangles([surfaces[i] for i in numbers])


def _surface_of_face(surfaces: Sequence[Surface], numbers: Sequence[int]) -> Any:
    """Return the number of each face's surface, of the surfaces of these numbers."""
    counts = [len(surfaces[i].faces) for i in numbers]
    of_face = np.repeat(np.array(numbers, dtype=np.uint32), counts) if counts else np.zeros(1, np.uint32)
    return mitsuba().UInt32(of_face)


def traced_order(surfaces: Sequence[Surface]) -> list[int]:
    """Return the numbers of surfaces as their faces are counted: what is clear last, so that the rest count alike."""
    return sorted(range(len(surfaces)), key=lambda i: _is_clear(surfaces[i]))


def _is_clear(surface: Surface) -> bool:
    return surface.finish.kind == "clear"


def _one_mesh(surfaces: Sequence[Surface]) -> Any:
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
