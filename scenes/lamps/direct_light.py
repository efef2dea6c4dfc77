"""What a lamp sends straight to a point with nothing in the way: irradiance over radiance, in closed form.

Lengths are in any one unit. Inside, everything is seen from the lamp: its centre is the origin and it faces +z.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.arrays import Vector

from .emitter_shape import EmitterShape, relative_intensity

Indices: TypeAlias = NDArray[np.intp]
Place: TypeAlias = Callable[[Indices, Vector, Vector], tuple[Vector, Vector]]
"""From patches (k,) and two parameters (k, q) in 0..1 to vectors from the receiver (k, q, 3) and area over du dv."""
Brightness: TypeAlias = Callable[[Indices, Vector], Vector]
"""From receivers (k,) and unit vectors from them (k, q, 3) to relative radiance times the cosine at the lamp."""

CORNERS = 720  # of the polygon that stands for a circle: out by 1e-9, or 2e-6 a hundredth of the radius off its edge
CHUNK = 32  # points at once, to bound memory
ERROR = 1e-6  # of the light, that a cell of the quadrature may be out by
LEVELS = 24  # how often a cell is quartered
CELL_STEPS = 3.0  # of the table, from the middle of a cell to its corners as the point sees them
CELL_RAD = (0.1, 0.3)  # and in any case
RECTANGLE = np.array([[-1.0, -1.0, 0.0], [1.0, -1.0, 0.0], [1.0, 1.0, 0.0], [-1.0, 1.0, 0.0]])
QUARTERS = np.array([[0, 0], [0, 1], [1, 0], [1, 1]])
NODES, WEIGHTS = np.polynomial.legendre.leggauss(4)
GRID = (np.stack(np.meshgrid(NODES, NODES), axis=-1).reshape(-1, 2) + 1) / 2
GRID_WEIGHTS = np.outer(WEIGHTS, WEIGHTS).ravel() / 4


def direct_factor(emitter: EmitterShape, points: ArrayLike, normals: ArrayLike) -> Vector:
    """Return irradiance over radiance (n,) at points (n, 3) with unit normals (n, 3), which see their front only.

    Points in or behind the plane of a panel, disc or ring get nothing.

    Without a table: Lambert's formula for a polygon (Lambert, Photometria, 1760; Howell, Catalog of Radiation
    Configuration Factors) clipped at the receiver's horizon; a circle is a polygon of equal area. With one: adaptive
    Gauss-Legendre quadrature over what stands above the horizon, to 1e-4, or 5e-4 for a beam of few degrees from a
    face that is nearer than its size.

    Raises
    ------
    ValueError
        Where a point lies inside a bulb, which has no radiance there.
    """
    at = (np.atleast_2d(np.asarray(points, dtype=float)) - emitter.at) @ emitter.axes
    facing = np.broadcast_to(np.asarray(normals, dtype=float) @ emitter.axes, at.shape)
    if emitter.kind == "bulb" and (np.linalg.norm(at, axis=1) < emitter.half[0] * (1 - 1e-12)).any():
        raise ValueError(f"a point lies inside the bulb of radius {emitter.half[0]:g}; it has to lie outside")
    out = np.zeros(len(at))
    for start in range(0, len(at), CHUNK):
        part = np.arange(start, min(start + CHUNK, len(at)))
        out[part] = _even(emitter, at[part], facing[part])
        lit = part[out[part] > 0.0]
        if emitter.intensity is not None and lit.size:
            out[lit] = _by_table(emitter, emitter.intensity, at[lit], facing[lit])
    return out


def on_axis_factor(emitter: EmitterShape, distance: float) -> float:
    """Return irradiance over radiance straight ahead, at a distance from the centre, where the receiver faces it."""
    ahead = emitter.axes[:, 2]
    return float(direct_factor(emitter, emitter.at + distance * ahead, -ahead)[0])


def _even(emitter: EmitterShape, at: Vector, facing: Vector) -> Vector:
    """Return the factor (n,) of a face of radiance 1 in all directions."""
    a, b = emitter.half
    if emitter.kind == "bulb":
        far = np.linalg.norm(at, axis=1)
        sine = np.minimum(a / far, 1.0)[:, None, None]
        towards = -at / far[:, None]
        e1 = _perpendicular(towards)
        basis = np.stack([e1, np.cross(towards, e1)], axis=1)
        cone = np.sqrt(1.0 - sine**2) * towards[:, None] + sine * (_circle()[:, :2] @ basis)
        return _polygon_factor(_above(cone, facing), facing)
    rims = {"panel": [RECTANGLE * (a, b, 0.0)], "disc": [a * _circle()], "ring": [a * _circle(), b * _circle()]}
    outer, *inner = [_polygon_factor(_above(rim - at[:, None], facing), facing) for rim in rims[emitter.kind]]
    return np.where(at[:, 2] > 0.0, np.maximum(outer - sum(inner), 0.0), 0.0)


def _circle() -> Vector:
    """Return the corners of the regular polygon about +z that has the area of the unit circle."""
    turn = np.linspace(0.0, 2 * np.pi, CORNERS, endpoint=False)
    radius = np.sqrt(2 * np.pi / (CORNERS * np.sin(2 * np.pi / CORNERS)))
    return np.column_stack([radius * np.cos(turn), radius * np.sin(turn), np.zeros(CORNERS)])


def _perpendicular(axis: Vector) -> Vector:
    """Return a unit vector across each of (n, 3) unit vectors."""
    across = np.cross(axis, np.eye(3)[np.argmin(np.abs(axis), axis=1)])
    return np.asarray(across / np.linalg.norm(across, axis=1, keepdims=True))


def _above(polygon: Vector, facing: Vector) -> Vector:
    """Return what of convex polygons (n, m, 3), seen from receivers, is above their horizons, as (n, 2 m, 3).

    Sutherland and Hodgman (Communications of the ACM 17, 1974) for one plane; corners repeat to keep the shape. One
    wholly below comes back as a single point.
    """
    height = np.einsum("nmk,nk->nm", polygon, facing)
    after, height_after = np.roll(polygon, -1, axis=1), np.roll(height, -1, axis=1)
    inside, inside_after = height > 0.0, height_after > 0.0
    crosses = inside != inside_after
    share = height / np.where(crosses, height - height_after, 1.0)
    crossing = polygon + share[..., None] * (after - polygon)
    leaving = (inside & ~inside_after)[..., None]
    leaves_at = np.where(leaving, crossing, 0.0).sum(axis=1, keepdims=True)
    entering = (~inside & inside_after)[..., None]
    first = np.where(inside[..., None], polygon, np.where(entering, crossing, leaves_at))
    second = np.where(leaving, crossing, first)
    return np.stack([first, second], axis=2).reshape(len(polygon), -1, 3)


def _polygon_factor(polygon: Vector, facing: Vector) -> Vector:
    """Return Lambert's sum (n,) over the edges of polygons (n, m, 3) that are wholly above the horizon."""
    after = np.roll(polygon, -1, axis=1)
    across = np.cross(polygon, after - polygon)
    length = np.linalg.norm(across, axis=2)
    angle = np.arctan2(length, np.einsum("nmk,nmk->nm", polygon, after))
    weight = angle / np.where(length > 0.0, length, np.inf)
    return np.asarray(0.5 * np.abs(np.einsum("nm,nmk,nk->n", weight, across, facing)))


def _by_table(emitter: EmitterShape, table: Vector, at: Vector, facing: Vector) -> Vector:
    """Return the factor (n,) of a face with a table at points that see some of it."""
    a, b = emitter.half

    def from_face(_: Indices, ray: Vector) -> Vector:
        return relative_intensity(table, -ray)

    if emitter.kind == "panel":
        patches = _triangles(_above(RECTANGLE * (a, b, 0.0) - at[:, None], facing))
    elif emitter.kind == "bulb":
        # a disc of this radius one unit away fills the cone of the sphere
        far = np.linalg.norm(at, axis=1)
        towards, sine = -at / far[:, None], np.minimum(a / far, 1.0 - 1e-12)
        patches = _cut_ring(towards, towards, sine / np.sqrt(1.0 - sine**2), np.zeros(len(at)), facing)

        def from_bulb(receiver: Indices, ray: Vector) -> Vector:
            return np.asarray(relative_intensity(table, -ray) * np.einsum("kqi,ki->kq", ray, towards[receiver]))

        return _integrate(patches, from_bulb, facing, table)
    else:
        ahead = np.broadcast_to([0.0, 0.0, 1.0], at.shape)
        inner = b if emitter.kind == "ring" else 0.0
        patches = _cut_ring(-at, ahead, np.full(len(at), a), np.full(len(at), inner), facing)
    return _integrate(patches, from_face, facing, table)


@dataclass(frozen=True, eq=False)
class _Patches:
    """Pieces of lamps above the horizon: the receiver of each, and the way onto it."""

    receiver: Indices
    place: Place


def _triangles(polygon: Vector) -> _Patches:
    """Return the triangles that convex polygons (n, m, 3) fall into."""
    first, side = polygon[:, :1], polygon[:, 1:-1] - polygon[:, :1]
    last = polygon[:, 2:] - polygon[:, 1:-1]
    twice = np.linalg.norm(np.cross(side, last), axis=2)
    receiver, triangle = np.nonzero(twice > 0.0)
    start, side, last = first[receiver, 0], side[receiver, triangle], last[receiver, triangle]
    area = twice[receiver, triangle]

    def place(patch: Indices, u: Vector, v: Vector) -> tuple[Vector, Vector]:
        across = side[patch, None] + v[..., None] * last[patch, None]
        return start[patch, None] + u[..., None] * across, u * area[patch, None]

    return _Patches(receiver, place)


def _cut_ring(centre: Vector, axis: Vector, outer: Vector, inner: Vector, facing: Vector) -> _Patches:
    """Return four pieces of each of n rings: beneath the hole, on both sides of it, over it, as the receiver stands.

    A height in the ring is -radius * cos(angle), so that the horizon is an angle and no piece has a blunt end.
    """
    slope = facing - np.einsum("nk,nk->n", facing, axis)[:, None] * axis
    steep = np.linalg.norm(slope, axis=1)
    level = steep < 1e-12
    up = np.where(level[:, None], _perpendicular(axis), slope / np.where(level, 1.0, steep)[:, None])
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

    def place(patch: Indices, u: Vector, v: Vector) -> tuple[Vector, Vector]:
        ring, angle = receiver[patch], begin[patch, None] + u * span[patch, None]
        height, step = -radius[patch, None] * np.cos(angle), radius[patch, None] * np.sin(angle)
        reach = np.sqrt(np.maximum(outer[ring, None] ** 2 - height**2, 0.0))
        near = np.where(side[patch, None] == 0, -reach, step)
        across = np.where(side[patch, None] < 0, -1.0, 1.0) * (near + v * (reach - near))
        point = centre[ring, None] + height[..., None] * up[ring, None] + across[..., None] * sideways[ring, None]
        return point, (reach - near) * step * span[patch, None]

    return _Patches(receiver, place)


def _integrate(patches: _Patches, brightness: Brightness, facing: Vector, table: Vector) -> Vector:
    """Return the light (n,) of patches, cells quartered until it is known.

    A cell is done when its quarters give what it gave, and it is seen so small that no row of the table is missed.
    """
    step = np.pi / max(len(table) - 1, (table.shape[1] - 1) / 2)
    widest = np.clip(CELL_STEPS * step, *CELL_RAD)

    def measure(patch: Indices, corner: Vector, size: float) -> tuple[Vector, Vector]:
        """Return the light of square cells of the patches, and how wide they are seen."""
        uv, receiver = corner[:, None] + size * GRID, patches.receiver[patch]
        point, area = patches.place(patch, uv[..., 0], uv[..., 1])
        distance = np.linalg.norm(point, axis=2)
        ray = point / distance[..., None]
        cosine = np.maximum(np.einsum("kqi,ki->kq", ray, facing[receiver]), 0.0)
        light = brightness(receiver, ray) * cosine / distance**2 * area
        spread = np.linalg.norm(ray - ray.mean(axis=1, keepdims=True), axis=2).max(axis=1)
        return size**2 * light @ GRID_WEIGHTS, spread

    def gather(patch: Indices, light: Vector) -> Vector:
        return np.asarray(np.bincount(patches.receiver[patch], light, len(facing)), dtype=float)

    total, size = np.zeros(len(facing)), 1.0
    patch = np.arange(len(patches.receiver))
    corner = np.zeros((len(patch), 2))
    light, spread = measure(patch, corner, size)
    for _ in range(LEVELS):
        if not patch.size:
            break
        size /= 2
        patch4, corner4 = np.repeat(patch, 4), (corner[:, None] + size * QUARTERS).reshape(-1, 2)
        light4, spread4 = measure(patch4, corner4, size)
        finer = light4.reshape(-1, 4).sum(axis=1)
        so_far = (total + gather(patch, finer))[patches.receiver[patch]]
        done = (np.abs(finer - light) <= ERROR * so_far) & (spread <= widest)
        total += gather(patch[done], finer[done])
        left = np.repeat(~done, 4)
        patch, corner, light, spread = patch4[left], corner4[left], light4[left], spread4[left]
    return total + gather(patch, light)
