"""What the checks of bounced light share: spheres of triangles, and light among boards by quadrature, in numpy alone.

Boards are Lambertian and none stands between two others, so the light E that arrives at each point solves
E = E0 + K (rho E), K dA' = cos cos' / (pi r2) dA' being the configuration factor from the point to an element dA'.
Taken at the points of a Gauss-Legendre rule on each board this is a linear system (Nystrom 1930; Goral et al. 1984;
both from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import trimesh
from numpy.typing import ArrayLike

from materials.arrays import Array
from materials.surface.finish import Finish
from render.description.scene import Meter, Surface

from .light import meter


@dataclass(frozen=True, eq=False)
class Ball:
    """A sphere of triangles about the origin: corners (n, 3, 3), normals outward (n, 3), areas (n,) in m2."""

    corners: Array
    normals: Array
    areas: Array

    @property
    def centres(self) -> Array:
        """The middle of each triangle."""
        middles: Array = self.corners.mean(axis=1)
        return middles

    def surface(self, name: str, finish: Finish) -> Surface:
        """Return its triangles as a surface."""
        faces = np.arange(3 * len(self.corners), dtype=np.int32).reshape(-1, 3)
        return Surface(name, "card", self.corners.reshape(-1, 3).astype(np.float32), None, faces, finish)

    def meters(self, way: int, every: int = 1) -> list[Meter]:
        """Return a meter on each triangle, or on one of `every`: facing outward for `way` 1, inward for -1."""
        return [
            meter(at, way * normal) for at, normal in zip(self.centres[::every], self.normals[::every], strict=True)
        ]


@lru_cache(maxsize=4)
def ball(radius: float, subdivisions: int) -> Ball:
    """Return a sphere of 20 x 4^subdivisions triangles, nearly of one size."""
    mesh = trimesh.creation.icosphere(subdivisions=subdivisions, radius=radius)
    return Ball(*(np.asarray(values, float) for values in (mesh.triangles, mesh.face_normals, mesh.area_faces)))


@dataclass(frozen=True, eq=False)
class Nodes:
    """Points of a quadrature rule on boards: places and normals (n, 3), areas they stand for and reflectance (n,)."""

    at: Array
    normals: Array
    areas: Array
    reflectance: Array


def nodes(plates: Sequence[Meter], reflectances: Sequence[float], count: int) -> Nodes:
    """Return `count` x `count` Gauss-Legendre points on the front of each plate."""
    along, weights = np.polynomial.legendre.leggauss(count)
    u, v = (axis.ravel() for axis in np.meshgrid(along, along))
    area = np.outer(weights, weights).ravel()
    at, normals, areas, reflectance = [], [], [], []
    for plate, value in zip(plates, reflectances, strict=True):
        half_width, half_height = plate.half
        at.append(plate.at + np.outer(u * half_width, plate.axes[:, 0]) + np.outer(v * half_height, plate.axes[:, 1]))
        normals.append(np.tile(plate.axes[:, 2], (area.size, 1)))
        areas.append(area * half_width * half_height)
        reflectance.append(np.full(area.size, value))
    return Nodes(*(np.concatenate(parts) for parts in (at, normals, areas, reflectance)))


def factors(at: Array, normals: Array, boards: Nodes) -> Array:
    """Return the configuration factor from elements (m, 3) to what each node stands for, (m, n)."""
    leaves = normals @ boards.at.T - (normals * at).sum(axis=1)[:, None]
    arrives = boards.normals @ at.T - (boards.normals * boards.at).sum(axis=1)[:, None]
    both = np.maximum(leaves, 0) * np.maximum(arrives.T, 0)
    square = np.sum([(at[:, i, None] - boards.at[:, i]) ** 2 for i in range(3)], axis=0)
    apart = np.maximum(square, 1e-12)  # a node and itself: both cosines are 0
    values: Array = both / (np.pi * apart**2) * boards.areas
    return values


def arriving(boards: Nodes, direct: Array) -> Array:
    """Return the lux at each node, of any number of bounces, where lamps alone give `direct`."""
    passed_on = factors(boards.at, boards.normals, boards) * boards.reflectance
    solved: Array = np.asarray(np.linalg.solve(np.eye(direct.size) - passed_on, direct), dtype=float)
    return solved


def returned(boards: Nodes, lux: Array, meters: Sequence[Meter]) -> Array:
    """Return what point meters read of boards on which `lux` arrives at the nodes."""
    at, facing = np.array([place.at for place in meters]), np.array([place.axes[:, 2] for place in meters])
    read: Array = factors(at, facing, boards) @ (boards.reflectance * lux)
    return read


def lux_of_point(lamp_at: ArrayLike, facing: ArrayLike | None, lumens: float, boards: Nodes) -> Array:
    """Return the lux at the nodes from a point that shines evenly, or as the cosine about `facing`.

    I cos / d2, with I = flux / (4 pi), or flux cos / pi. Of a sphere wholly above a board's plane it is exact.
    """
    away = boards.at - np.asarray(lamp_at, float)
    far = np.linalg.norm(away, axis=1)
    cosine = np.maximum(-(away * boards.normals).sum(axis=1), 0) / far
    lux: Array = lumens / (4 * np.pi) * cosine / far**2
    if facing is not None:
        axis = np.asarray(facing, float)
        lux *= 4 * np.maximum(away @ axis, 0) / (far * np.linalg.norm(axis))
    return lux
