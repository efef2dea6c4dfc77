"""Revolved and swept surfaces as closed triangle meshes, and moving them into place (cm)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.arrays import Array


class Mesh(NamedTuple):
    """Vertices (n, 3) in cm and faces (m, 3), counter-clockwise seen from outside."""

    vertices: Array
    faces: NDArray[np.int64]


def volume(mesh: Mesh) -> float:
    """Return the signed volume (cm³): positive where the faces look outward."""
    corners = mesh.vertices[mesh.faces]
    return float(np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6.0)


def outward(mesh: Mesh) -> Mesh:
    """Turn a closed mesh so that its faces look outward."""
    return mesh if volume(mesh) > 0 else Mesh(mesh.vertices, mesh.faces[:, ::-1])


def joined(meshes: Iterable[Mesh]) -> Mesh:
    """Return one mesh that holds several."""
    meshes = list(meshes)
    starts = np.cumsum([0] + [len(mesh.vertices) for mesh in meshes[:-1]])
    return Mesh(
        np.concatenate([mesh.vertices for mesh in meshes]),
        np.concatenate([mesh.faces + start for mesh, start in zip(meshes, starts, strict=True)]),
    )


def loft(rings: Array, loop: bool = False) -> Mesh:
    """Return the closed surface through rings (m, k, 3): ends capped by fans, or joined where ``loop``."""
    count, sides = rings.shape[:2]
    vertices = rings.reshape(-1, 3)
    ring = np.arange(count if loop else count - 1)[:, None]
    side = np.arange(sides)[None, :]
    after = (ring + 1) % count
    beside = (side + 1) % sides
    a, b = ring * sides + side, ring * sides + beside
    c, d = after * sides + beside, after * sides + side
    faces = np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)])
    if not loop:
        middles = np.stack([rings[0].mean(axis=0), rings[-1].mean(axis=0)])
        first, last = len(vertices), len(vertices) + 1
        ends = (count - 1) * sides
        caps = [(first, (i + 1) % sides, i) for i in range(sides)]
        caps += [(last, ends + i, ends + (i + 1) % sides) for i in range(sides)]
        vertices = np.concatenate([vertices, middles])
        faces = np.concatenate([faces, np.array(caps)])
    return outward(Mesh(vertices, faces.astype(np.int64)))


def revolved(profile: ArrayLike, sides: int) -> Mesh:
    """Turn a profile of (radius, height) points about z.

    A profile that ends on the axis at both ends is open there; any other is a closed outline of a ring.
    """
    profile = np.asarray(profile, float)
    turn = 2 * np.pi * np.arange(sides) / sides
    solid = profile[0, 0] == 0 and profile[-1, 0] == 0
    kept = profile[1:-1] if solid else profile
    rings = np.stack([np.stack([r * np.cos(turn), r * np.sin(turn), np.full(sides, h)], axis=1) for r, h in kept])
    mesh = loft(rings, loop=not solid)
    if solid:
        mesh.vertices[-2:] = [(0, 0, profile[0, 1]), (0, 0, profile[-1, 1])]
    return outward(mesh)


def rounded(profile: ArrayLike, radius: float, loop: bool = False, steps: int = 3) -> Array:
    """Round the corners of an outline of 2-D points; the ends of an open outline stay as they are."""
    points = np.asarray(profile, float)
    result: list[Array] = []
    for i, point in enumerate(points):
        if not loop and i in (0, len(points) - 1):
            result.append(point)
            continue
        before, after = points[i - 1] - point, points[(i + 1) % len(points)] - point
        lengths = float(np.linalg.norm(before)), float(np.linalg.norm(after))
        reach = min(radius, 0.45 * lengths[0], 0.45 * lengths[1])
        start, end = point + before / lengths[0] * reach, point + after / lengths[1] * reach
        for t in np.linspace(0, 1, steps + 1):
            result.append((1 - t) ** 2 * start + 2 * t * (1 - t) * point + t**2 * end)
    return np.array(result)


def rectangle(width: float, height: float, radius: float, steps: int = 3) -> Array:
    """Return the outline of a rectangle with round corners, centred on the origin."""
    w, h = width / 2, height / 2
    return rounded([(-w, -h), (w, -h), (w, h), (-w, h)], radius, loop=True, steps=steps)


def circle(radius: float, sides: int) -> Array:
    """Return points on a circle about the origin."""
    turn = 2 * np.pi * np.arange(sides) / sides
    return radius * np.stack([np.cos(turn), np.sin(turn)], axis=1)


def prism(outline: Array, height: float, bevel: float) -> Mesh:
    """Raise an outline along z from 0 to ``height``, its edges bevelled."""
    extent = np.abs(outline).max()
    levels = [(0.0, bevel), (0.3 * bevel, 0.3 * bevel), (bevel, 0.0)]
    levels += [(height - z, inset) for z, inset in reversed(levels)]
    rings = [np.column_stack([outline * (1 - i / extent), np.full(len(outline), z)]) for z, i in levels]
    return loft(np.stack(rings))


def tube(path: Array, radius: float | Array, sides: int = 16) -> Mesh:
    """Sweep a circle along a path (m, 3); the radius may change along it, and 0 at an end closes it."""
    tangents = np.gradient(path, axis=0)
    tangents /= np.linalg.norm(tangents, axis=1, keepdims=True)
    normal = np.cross(tangents[0], np.eye(3)[np.argmin(np.abs(tangents[0]))])
    normals = []
    for tangent in tangents:  # carried along without twist
        normal = normal - tangent * (normal @ tangent)
        normal /= np.linalg.norm(normal)
        normals.append(normal)
    width = np.maximum(np.broadcast_to(np.asarray(radius, float), len(path)), 1e-3)
    across = np.array(normals)
    return loft(swept(path, across, np.cross(tangents, across), circle(1.0, sides), width))


def swept(path: Array, xs: Array, ys: Array, outline: Array, scale: Array | None = None) -> Array:
    """Return rings: an outline set up at each path point along that point's two axes."""
    scale = np.ones(len(path)) if scale is None else scale
    flat = outline[None] * scale[:, None, None]
    return np.asarray(path[:, None] + flat[..., :1] * xs[:, None] + flat[..., 1:] * ys[:, None])


def spline(knots: Sequence[ArrayLike] | Array, count: int) -> Array:
    """Return points evenly spaced along a smooth curve through the knots."""
    from scipy.interpolate import CubicSpline

    points = np.asarray(knots, float)
    chord = np.concatenate([[0], np.cumsum(np.sqrt(np.linalg.norm(np.diff(points, axis=0), axis=1)))])
    fine = CubicSpline(chord, points)(np.linspace(0, chord[-1], 20 * count))
    length = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(fine, axis=0), axis=1))])
    even = np.linspace(0, length[-1], count)
    return np.stack([np.interp(even, length, fine[:, i]) for i in range(3)], axis=1)


def moved(mesh: Mesh, shift: ArrayLike) -> Mesh:
    """Return a mesh shifted by a vector (cm)."""
    return Mesh(mesh.vertices + np.asarray(shift, float), mesh.faces)


def placed(mesh: Mesh, origin: ArrayLike, up: ArrayLike, forward: ArrayLike = (0, -1, 0)) -> Mesh:
    """Set a mesh at a place: its z along ``up``, its x as near as can be to ``forward``."""
    z = np.asarray(up, float) / np.linalg.norm(up)
    x = np.asarray(forward, float)
    if abs(x @ z) > 0.98 * np.linalg.norm(x):
        x = np.eye(3)[np.argmin(np.abs(z))]
    x = x - z * (x @ z)
    x /= np.linalg.norm(x)
    axes = np.stack([x, np.cross(z, x), z])
    return Mesh(mesh.vertices @ axes + np.asarray(origin, float), mesh.faces)
