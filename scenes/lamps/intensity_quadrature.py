"""Light of an emitter with an intensity table: adaptive Gauss-Legendre quadrature over what a receiver sees of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector

from .emitter_shape import EmitterShape, relative_intensity
from .polygons import RECTANGLE, above_horizon, perpendicular

Indices: TypeAlias = NDArray[np.intp]
PatchMap: TypeAlias = Callable[[Indices, Vector, Vector], tuple[Vector, Vector]]
"""From patches (k,) and two parameters (k, q) in 0..1 to vectors from the receiver (k, q, 3) and area over du dv."""
Brightness: TypeAlias = Callable[[Indices, Vector], Vector]
"""From receivers (k,) and unit vectors from them (k, q, 3) to relative radiance times the cosine at the lamp."""

ERROR = 1e-6  # of the light, that a cell of the quadrature may be out by
LEVELS = 24  # how often a cell is quartered
CELL_STEPS = 3.0  # of the table, from the middle of a cell to its corners as the point sees them
CELL_RAD = (0.1, 0.3)  # and in any case
QUARTERS = np.array([[0, 0], [0, 1], [1, 0], [1, 1]])
NODES, WEIGHTS = np.polynomial.legendre.leggauss(4)
GRID = (np.stack(np.meshgrid(NODES, NODES), axis=-1).reshape(-1, 2) + 1) / 2
GRID_WEIGHTS = np.outer(WEIGHTS, WEIGHTS).ravel() / 4


def factor_with_table(emitter: EmitterShape, table: Vector, at: Vector, facing: Vector) -> Vector:
    """Return irradiance over radiance (n,) of an emitter with a table, at points (n, 3) that see some of it."""
    a, b = emitter.half

    def from_face(_: Indices, ray: Vector) -> Vector:
        return relative_intensity(table, -ray)

    if emitter.kind == "panel":
        patches = _triangle_patches(above_horizon(RECTANGLE * (a, b, 0.0) - at[:, None], facing))
    elif emitter.kind == "bulb":
        # a disc of this radius one unit away fills the cone of the sphere
        far = np.linalg.norm(at, axis=1)
        towards, sine = -at / far[:, None], np.minimum(a / far, 1.0 - 1e-12)
        patches = _ring_patches(towards, towards, sine / np.sqrt(1.0 - sine**2), np.zeros(len(at)), facing)

        def from_bulb(receiver: Indices, ray: Vector) -> Vector:
            return np.asarray(relative_intensity(table, -ray) * np.einsum("kqi,ki->kq", ray, towards[receiver]))

        return _integrate(patches, from_bulb, facing, table)
    else:
        ahead = np.broadcast_to([0.0, 0.0, 1.0], at.shape)
        inner = b if emitter.kind == "ring" else 0.0
        patches = _ring_patches(-at, ahead, np.full(len(at), a), np.full(len(at), inner), facing)
    return _integrate(patches, from_face, facing, table)


@dataclass(frozen=True, eq=False)
class _Patches:
    """Parts of emitters above the horizon: the receiver of each, and the parametrisation of its points."""

    receiver: Indices
    point_on: PatchMap


def _triangle_patches(polygon: Vector) -> _Patches:
    """Return the triangles of convex polygons (n, m, 3), as fans."""
    first, side = polygon[:, :1], polygon[:, 1:-1] - polygon[:, :1]
    last = polygon[:, 2:] - polygon[:, 1:-1]
    twice = np.linalg.norm(np.cross(side, last), axis=2)
    receiver, triangle = np.nonzero(twice > 0.0)
    start, side, last = first[receiver, 0], side[receiver, triangle], last[receiver, triangle]
    area = twice[receiver, triangle]

    def point_on(patch: Indices, u: Vector, v: Vector) -> tuple[Vector, Vector]:
        across = side[patch, None] + v[..., None] * last[patch, None]
        return start[patch, None] + u[..., None] * across, u * area[patch, None]

    return _Patches(receiver, point_on)


def _ring_patches(centre: Vector, axis: Vector, outer: Vector, inner: Vector, facing: Vector) -> _Patches:
    """Return four patches of each of n rings: below the hole, on both sides of it and above it, for the receiver.

    A height in the ring is -radius * cos(angle), so that the horizon is an angle and no patch has a blunt end.
    """
    slope = facing - np.einsum("nk,nk->n", facing, axis)[:, None] * axis
    steep = np.linalg.norm(slope, axis=1)
    level = steep < 1e-12
    up = np.where(level[:, None], perpendicular(axis), slope / np.where(level, 1.0, steep)[:, None])
    sideways = np.cross(up, axis)
    depth = np.einsum("nk,nk->n", centre, facing) / np.where(level, 1e-12, steep)
    hole, none, half_turn = np.arccos(inner / outer), np.zeros(len(axis)), np.full(len(axis), np.pi)
    receiver = np.tile(np.arange(len(axis)), 4)
    side = np.repeat([0, -1, 1, 0], len(axis))
    radius = np.concatenate([outer, inner, inner, outer])
    horizon = np.arccos(np.clip(depth[receiver], -radius, radius) / np.where(radius > 0.0, radius, 1.0))
    begin = np.maximum(horizon, np.concatenate([none, none, none, half_turn - hole]))
    end = np.concatenate([hole, half_turn, half_turn, half_turn])
    some = (end > begin) & (radius > 0.0)
    receiver, side, radius, begin, span = receiver[some], side[some], radius[some], begin[some], (end - begin)[some]

    def point_on(patch: Indices, u: Vector, v: Vector) -> tuple[Vector, Vector]:
        ring, angle = receiver[patch], begin[patch, None] + u * span[patch, None]
        height, step = -radius[patch, None] * np.cos(angle), radius[patch, None] * np.sin(angle)
        reach = np.sqrt(np.maximum(outer[ring, None] ** 2 - height**2, 0.0))
        near = np.where(side[patch, None] == 0, -reach, step)
        across = np.where(side[patch, None] < 0, -1.0, 1.0) * (near + v * (reach - near))
        point = centre[ring, None] + height[..., None] * up[ring, None] + across[..., None] * sideways[ring, None]
        return point, (reach - near) * step * span[patch, None]

    return _Patches(receiver, point_on)


def _integrate(patches: _Patches, brightness: Brightness, facing: Vector, table: Vector) -> Vector:
    """Return the light (n,) of patches by adaptive quadrature.

    A cell is quartered until its quarters agree with it and it spans few enough rows of the table.
    """
    step = np.pi / max(len(table) - 1, (table.shape[1] - 1) / 2)
    widest = np.clip(CELL_STEPS * step, *CELL_RAD)

    def cell_light(patch: Indices, corner: Vector, size: float) -> tuple[Vector, Vector]:
        """Return the light of square cells of patches, and the angle that they subtend, radians."""
        uv, receiver = corner[:, None] + size * GRID, patches.receiver[patch]
        point, area = patches.point_on(patch, uv[..., 0], uv[..., 1])
        distance = np.linalg.norm(point, axis=2)
        ray = point / distance[..., None]
        cosine = np.maximum(np.einsum("kqi,ki->kq", ray, facing[receiver]), 0.0)
        light = brightness(receiver, ray) * cosine / distance**2 * area
        spread = np.linalg.norm(ray - ray.mean(axis=1, keepdims=True), axis=2).max(axis=1)
        return size**2 * light @ GRID_WEIGHTS, spread

    def by_receiver(patch: Indices, light: Vector) -> Vector:
        return np.asarray(np.bincount(patches.receiver[patch], light, len(facing)), dtype=float)

    total, size = np.zeros(len(facing)), 1.0
    patch = np.arange(len(patches.receiver))
    corner = np.zeros((len(patch), 2))
    light, spread = cell_light(patch, corner, size)
    for _ in range(LEVELS):
        if not patch.size:
            break
        size /= 2
        patch4, corner4 = np.repeat(patch, 4), (corner[:, None] + size * QUARTERS).reshape(-1, 2)
        light4, spread4 = cell_light(patch4, corner4, size)
        finer = light4.reshape(-1, 4).sum(axis=1)
        so_far = (total + by_receiver(patch, finer))[patches.receiver[patch]]
        done = (np.abs(finer - light) <= ERROR * so_far) & (spread <= widest)
        total += by_receiver(patch[done], finer[done])
        left = np.repeat(~done, 4)
        patch, corner, light, spread = patch4[left], corner4[left], light4[left], spread4[left]
    return total + by_receiver(patch, light)
