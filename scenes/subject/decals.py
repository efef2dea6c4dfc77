"""Decals lifted out of the surface that they lie in: which of two such surfaces shows is chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from materials.arrays import Mask, Vector
from scenes.mesh.triangles import areas

from .subject import Part

POINTS: Final = 64
"""Points of a decal at which its height is measured."""
REACH_CM: Final = 0.02
"""Height over another part, above it or sunk in it, up to which most of a see-through part makes it a decal."""
LEAST_CM, LIFTED_CM = 0.0005, 0.002
"""Height under which the lowest points of a decal are chance, and what they are lifted to: the thickness of a film."""
MOST: Final = 0.8
"""Of its points."""
LOWEST_PERCENT: Final = 5
"""Percentile of the heights that counts as the lowest."""
FACES_AT_ONCE: Final = 20_000


def with_lifted_decals(parts: Sequence[Part]) -> tuple[list[Part], list[tuple[str, str]]]:
    """Return parts with see-through ones lifted out of the parts that they lie on, and findings by part."""
    result, findings = list(parts), []
    for i, part in enumerate(parts):
        if part.opacity_map is None:
            continue
        for other in (*parts[:i], *parts[i + 1 :]):
            heights, outwards = _heights(part, other)
            if np.isfinite(heights).mean() < MOST:
                continue
            lowest = float(np.nanpercentile(heights, LOWEST_PERCENT))
            if lowest < LEAST_CM:
                lift = np.float32((LIFTED_CM - lowest) * outwards)
                result[i] = replace(part, vertices_cm=part.vertices_cm + lift * part.normals)
                findings.append((part.name, f"lies in the surface of '{other.name}' and was lifted out of it"))
            break
    return result, findings


def _heights(part: Part, other: Part) -> tuple[Vector, float]:
    """Return the heights (k,) of points of a part over another, cm, NaN where it is not near, and which way is out.

    That is 1 where the part's normals point away from the other, else -1.
    """
    points, normals = _points(part)
    triangles = other.vertices_cm[other.faces[_faces_near(part, other)]].astype(np.float64)
    nearest, out = np.full(len(points), np.inf), np.zeros(len(points))
    for first in range(0, len(triangles), FACES_AT_ONCE):
        distance, cosine = _along_normals(points, normals, triangles[first : first + FACES_AT_ONCE])
        best = np.abs(distance).argmin(axis=1)
        rows = np.arange(len(points))
        is_nearer = np.abs(distance[rows, best]) < np.abs(nearest)
        nearest = np.where(is_nearer, distance[rows, best], nearest)
        out = np.where(is_nearer, np.sign(cosine[rows, best]), out)
    outwards = 1.0 if out.sum() >= 0 else -1.0
    return np.where(np.abs(nearest) <= REACH_CM, -nearest * outwards, np.nan), outwards


def _points(part: Part) -> tuple[Vector, Vector]:
    """Return points (k, 3) of a part, cm, and the unit normals of their triangles."""
    up_to = np.cumsum(areas(part.vertices_cm, part.faces))
    face = np.searchsorted(up_to, (np.arange(POINTS) + 0.5) / POINTS * up_to[-1])
    a, b, c = part.vertices_cm[part.faces[face]].astype(np.float64).transpose(1, 0, 2)
    u, v = np.sort(np.random.default_rng(0).random((2, POINTS, 1)), axis=0)
    normals = np.cross(b - a, c - a)
    return a * u + b * (v - u) + c * (1 - v), normals / np.linalg.norm(normals, axis=1, keepdims=True)


def _faces_near(part: Part, other: Part) -> Mask:
    """Return which faces (m,) of another part have bounds that overlap a part's."""
    low, high = part.vertices_cm.min(axis=0) - REACH_CM, part.vertices_cm.max(axis=0) + REACH_CM
    corners = other.vertices_cm[other.faces]
    return np.asarray(((corners.max(axis=1) >= low) & (corners.min(axis=1) <= high)).all(axis=1))


def _along_normals(points: Vector, normals: Vector, triangles: Vector) -> tuple[Vector, Vector]:
    """Return the signed distances (k, m) from points along their normals to triangles, infinite where they miss one.

    And the cosines between the two normals. Moeller and Trumbore, "Fast, minimum storage ray/triangle intersection",
    1997.
    """
    a, edge_1, edge_2 = triangles[:, 0], triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    normal = np.cross(edge_1, edge_2)
    determinant = normals @ normal.T
    across = np.cross(normals[:, None], points[:, None] - a)
    with np.errstate(divide="ignore", invalid="ignore"):
        u = np.einsum("kmi,mi->km", across, edge_2) / determinant
        v = -np.einsum("kmi,mi->km", across, edge_1) / determinant
        distance = np.einsum("kmi,mi->km", a - points[:, None], normal) / determinant
        inside = (u >= 0) & (v >= 0) & (u + v <= 1)
        return np.where(inside, distance, np.inf), determinant
