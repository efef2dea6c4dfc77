"""The weighted boots: leather uppers, thick lead soles, brass toe caps, straps and buckles."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from scenes.builtin.shapes.solids import Field, common, ellipsoid, round_cone, step, union
from scenes.builtin.shapes.sweeps import Mesh, joined, loft, rectangle, rounded

from . import pose
from .fittings import dome, studs
from .shaping.noise import fractal
from .shaping.solids import bump
from .shaping.surfacing import normals_of, surface
from .strap import band

SOLE_CM = 0.42
_FEET = (
    (np.array(pose.ANKLE_R), pose.SOLE_R, -pose.TOE_OUT_R, -1.0),
    (np.array(pose.ANKLE_L), pose.SOLE_L, pose.TOE_OUT_L, 1.0),
)


def boot_parts() -> dict[str, Mesh]:
    """Return both boots' parts; each is modelled once, toe along -y, and set at its ankle."""
    right = {
        "boots": surface(upper, (-1.1, -2.2, 0.2), (1.1, 1.3, 1.75), 0.068),
        "boot soles": _sole(),
        "boot caps": surface(_cap, (-1.0, -2.3, 0.1), (1.0, -0.9, 1.3), 0.068),
        "boot straps": joined([_strap(*strap) for strap in _STRAPS]),
        "boot buckles": joined([_buckle(*strap) for strap in _STRAPS] + [_sole_rivets()]),
    }
    return {name: joined([_set(mesh, *foot) for foot in _FEET]) for name, mesh in right.items()}


def upper(points: Array) -> Array:
    """Return the distance from the leather upper."""
    foot = union(
        [
            ellipsoid(points, (0, -1.02, 0.62), (0.72, 1.0, 0.5)),
            ellipsoid(points, (0, 0.15, 0.75), (0.66, 0.72, 0.75)),
            round_cone(points, (0, -0.85, 0.7), (0, 0.05, 1.15), (0.45, 0.66)),
            round_cone(points, (0, 0.05, 0.8), (0, 0.03, 1.5), (0.7, 0.78)),
        ],
        0.35,
    )
    creases = 0.028 * np.sin(15 * (points[:, 1] + 0.75 * points[:, 2]) + 2 * points[:, 0])
    creases = creases * bump(points[:, 1] + 0.45, 0.55) * step(points[:, 2], 0.6, 0.95)
    top = common(foot - creases + 0.014 * fractal(points, 0.5, 2, 41), points[:, 2] - 1.62, 0.1)
    return common(top, 0.3 - points[:, 2], 0.05)


def _cap(points: Array) -> Array:
    """Return the toe cap: a shell over the front of the upper, with a rolled edge."""
    edge = points[:, 1] + 1.22 + 0.16 * np.abs(points[:, 0])
    thick = 0.055 + 0.03 * bump(edge + 0.07, 0.08)
    return common(common(upper(points) - thick, edge, 0.04), SOLE_CM - 0.03 - points[:, 2], 0.02)


def _sole() -> Mesh:
    """Return the lead sole with a step at the heel and a groove round its edge."""
    turn = 2 * np.pi * np.arange(120) / 120
    y = -0.62 - 1.5 * np.cos(turn)
    half = 0.7 + 0.12 * np.cos(turn - 0.25) ** 2 - 0.1 * bump(y - 0.05, 0.8)
    outline = np.stack([half * np.sign(np.sin(turn)) * np.abs(np.sin(turn)) ** 0.62, y], axis=1)
    levels = [(0.94, 0), (0.985, 0.02), (1, 0.06), (1, 0.17), (0.965, 0.19), (0.965, 0.23), (1, 0.25)]
    levels += [(1, 0.36), (0.985, 0.4), (0.95, SOLE_CM)]
    middle = np.array([0.0, -0.62])
    rings = [np.column_stack([middle + (outline - middle) * s, np.full(120, z)]) for s, z in levels]
    return loft(np.stack(rings))


# centre of the strap's loop and the direction it is wound about
_STRAPS = (
    (np.array([0.0, -0.72, 0.72]), np.array([0.0, 0.86, 0.5])),
    (np.array([0.0, 0.02, 1.2]), np.array([0.0, 0.18, 0.98])),
)


def girdle(field: Field, centre: Array, axis: Array, count: int = 140, reach: float = 3.0) -> Array:
    """Return a closed path round a solid: where the plane across ``axis`` meets its surface."""
    axis = axis / np.linalg.norm(axis)
    x = np.cross(axis, (0.0, 0.0, 1.0)) if abs(axis[2]) < 0.9 else np.array([1.0, 0.0, 0.0])
    x = x - axis * (x @ axis)
    x /= np.linalg.norm(x)
    turn = 2 * np.pi * np.arange(count) / count
    ways = np.cos(turn)[:, None] * x + np.sin(turn)[:, None] * np.cross(axis, x)
    near, far = np.zeros(count), np.full(count, reach)
    for _ in range(36):
        middle = (near + far) / 2
        outside = field(centre + middle[:, None] * ways) > 0
        near, far = np.where(outside, near, middle), np.where(outside, middle, far)
    return np.asarray(centre + near[:, None] * ways)


def _strap(centre: Array, axis: Array) -> Mesh:
    path = girdle(upper, centre, axis)
    return band(path, normals_of(upper, path), rectangle(0.3, 0.09, 0.03, 1))


def _buckle(centre: Array, axis: Array) -> Mesh:
    """Return a square buckle with its tongue, on the outer side of a strap."""
    path = girdle(upper, centre, axis)
    at = int(np.argmax(path[:, 0] * 0.8 - path[:, 1] * 0.6))
    normal = normals_of(upper, path[at : at + 1])[0]
    tangent = path[at] - path[at - 1]
    tangent = tangent / np.linalg.norm(tangent)
    across = np.cross(normal, tangent)
    frame = rounded([(-0.2, -0.22), (0.2, -0.22), (0.2, 0.22), (-0.2, 0.22)], 0.06, loop=True)
    loop = path[at] + 0.06 * normal + frame[:, :1] * tangent + frame[:, 1:] * across
    bar = np.stack([path[at] + 0.085 * normal + s * 0.2 * tangent for s in np.linspace(-1, 1, 9)])
    shape = rectangle(0.07, 0.06, 0.02, 2)
    tongue = loft(bar[:, None] + shape[None, :, :1] * across * 0.8 + shape[None, :, 1:] * normal)
    return joined([band(loop, np.tile(normal, (len(loop), 1)), shape), tongue])


def _sole_rivets() -> Mesh:
    turn = np.radians(np.arange(15, 360, 30))
    places = np.stack([0.0 * turn, 0.0 * turn, 0.305 + 0 * turn], axis=1)
    sole = _sole().vertices
    edge = sole[np.abs(sole[:, 2] - 0.36) < 1e-6]
    ups = np.zeros_like(places)
    for i, angle in enumerate(turn):
        way = np.array([np.sin(angle), -np.cos(angle)])
        nearest = np.argmax(((edge[:, :2] - (0, -0.62)) / (0.75, 1.5)) @ way)
        places[i, :2] = edge[nearest, :2]
        ups[i, :2] = (edge[nearest, :2] - (0, -0.62)) / np.array([0.75, 1.5]) ** 2
    return studs(dome(0.05, 0.03, 10), places, ups, np.tile([0.0, 0.0, 1.0], (len(places), 1)))


def _set(mesh: Mesh, ankle: Array, ground: float, toe_out_deg: float, side: float) -> Mesh:
    """Set a boot under an ankle; the buckles' side is turned outwards."""
    turn = np.radians(toe_out_deg)
    faces = mesh.faces if side > 0 else mesh.faces[:, ::-1]
    local = mesh.vertices * (side, 1, 1)
    x = local[:, 0] * np.cos(turn) - local[:, 1] * np.sin(turn)
    y = local[:, 0] * np.sin(turn) + local[:, 1] * np.cos(turn)
    return Mesh(np.column_stack([x + ankle[0], y + ankle[1], local[:, 2] + ground]), faces)
