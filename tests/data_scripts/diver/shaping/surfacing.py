"""From a signed distance to a smooth closed surface of even triangles."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array
from scenes.builtin.shapes.solids import Field
from scenes.builtin.shapes.sweeps import Mesh, outward

from .solids import box


def surface(field: Field, low: ArrayLike, high: ArrayLike, step_cm: float, rounds: int = 4) -> Mesh:
    """Return the surface of ``field``'s solid, cut off flat by a box, with edges about ``step_cm`` long.

    Marching cubes gives slivers and steps, so the points are evened out along the surface and put back on the
    zero level by Newton steps, ``rounds`` times.
    """
    from skimage.measure import marching_cubes

    low, high = np.asarray(low, float), np.asarray(high, float)
    middle, half = (low + high) / 2, (high - low) / 2 - 0.7 * step_cm

    def bounded(points: Array) -> Array:
        return np.maximum(field(points), box(points, middle, half))

    counts = np.ceil((high - low) / step_cm).astype(int) + 1
    axes = [low[i] + step_cm * np.arange(counts[i]) for i in range(3)]
    slabs = [_slab(bounded, x, axes[1], axes[2]) for x in axes[0]]
    points, faces, _, _ = marching_cubes(np.stack(slabs), 0.0, spacing=(step_cm,) * 3)
    vertices = np.asarray(points, float) + low
    faces = np.asarray(faces, np.int64)
    for _ in range(rounds):
        vertices += 0.6 * (neighbour_mean(vertices, faces) - vertices)
        for _ in range(2):
            vertices = onto(bounded, vertices, step_cm)
    return outward(Mesh(vertices, faces))


def gradient(field: Field, points: Array, reach: float = 1e-3) -> Array:
    """Return the slope of a field by central differences over ``reach`` cm."""
    slope = np.empty_like(points)
    for axis in range(3):
        shift = np.zeros(3)
        shift[axis] = reach
        slope[:, axis] = (field(points + shift) - field(points - shift)) / (2 * reach)
    return slope


def normals_of(field: Field, points: Array) -> Array:
    """Return the outward unit normals of a field's level surface at the points."""
    slope = gradient(field, points)
    return np.asarray(slope / np.maximum(np.linalg.norm(slope, axis=1, keepdims=True), 1e-9))


def onto(field: Field, points: Array, limit: float) -> Array:
    """Move points to the zero level by one Newton step of at most ``limit`` cm."""
    slope = gradient(field, points)
    square = np.maximum((slope**2).sum(axis=1), 0.05)
    share = np.clip(field(points) / square, -limit, limit)
    return np.asarray(points - share[:, None] * slope)


def edges_of(
    faces: np.ndarray[tuple[int, ...], np.dtype[np.int64]],
) -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
    """Return each edge once, as sorted pairs of vertex numbers."""
    pairs = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    return np.unique(np.sort(pairs, axis=1), axis=0)


def neighbour_mean(vertices: Array, faces: np.ndarray[tuple[int, ...], np.dtype[np.int64]]) -> Array:
    """Return for each vertex the mean of the vertices that share an edge with it."""
    edges = edges_of(faces)
    ends = np.concatenate([edges[:, 0], edges[:, 1]])
    others = np.concatenate([edges[:, 1], edges[:, 0]])
    count = np.maximum(np.bincount(ends, minlength=len(vertices)), 1)
    sums = [np.bincount(ends, vertices[others, i], len(vertices)) for i in range(3)]
    return np.stack(sums, axis=1) / count[:, None]


def _slab(field: Field, x: float, ys: Array, zs: Array) -> Array:
    grid = np.stack(np.meshgrid([x], ys, zs, indexing="ij"), axis=-1).reshape(-1, 3)
    return field(grid).reshape(len(ys), len(zs))
