"""Unoccluded direct light of a lamp at a point: irradiance over radiance, in closed form.

Lengths are in any one unit. Inside, everything is seen from the lamp: its centre is the origin and it faces +z.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Vector

from .emitter_shape import EmitterShape
from .intensity_quadrature import factor_with_table
from .polygons import RECTANGLE, above_horizon, perpendicular, polygon_factor, unit_circle

CHUNK = 32  # points at once, to bound memory


def direct_factor(emitter: EmitterShape, points: ArrayLike, normals: ArrayLike) -> Vector:
    """Return irradiance over radiance (n,) at points (n, 3) with unit normals (n, 3), which see their front only.

    Points in or behind the plane of a panel, disc or ring get nothing.

    Without a table: Lambert's formula for a polygon (Lambert, Photometria, 1760; Howell, Catalog of Radiation
    Configuration Factors) clipped at the receiver's horizon; a circle is a polygon of equal area. With one: adaptive
    Gauss-Legendre quadrature over what stands above the horizon, to 1e-4, or 5e-4 for a narrow beam from an
    opening that is nearer than its size.

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
        out[part] = _uniform_factor(emitter, at[part], facing[part])
        lit = part[out[part] > 0.0]
        if emitter.intensity is not None and lit.size:
            out[lit] = factor_with_table(emitter, emitter.intensity, at[lit], facing[lit])
    return out


def on_axis_factor(emitter: EmitterShape, distance: float) -> float:
    """Return irradiance over radiance straight ahead, at a distance from the centre, where the receiver faces it."""
    ahead = emitter.axes[:, 2]
    return float(direct_factor(emitter, emitter.at + distance * ahead, -ahead)[0])


def _uniform_factor(emitter: EmitterShape, at: Vector, facing: Vector) -> Vector:
    """Return irradiance over radiance (n,) of an emitter of equal radiance in all directions."""
    a, b = emitter.half
    if emitter.kind == "bulb":
        far = np.linalg.norm(at, axis=1)
        sine = np.minimum(a / far, 1.0)[:, None, None]
        towards = -at / far[:, None]
        e1 = perpendicular(towards)
        basis = np.stack([e1, np.cross(towards, e1)], axis=1)
        cone = np.sqrt(1.0 - sine**2) * towards[:, None] + sine * (unit_circle()[:, :2] @ basis)
        return polygon_factor(above_horizon(cone, facing), facing)
    rims = {
        "panel": [RECTANGLE * (a, b, 0.0)],
        "disc": [a * unit_circle()],
        "ring": [a * unit_circle(), b * unit_circle()],
    }
    outer, *inner = [polygon_factor(above_horizon(rim - at[:, None], facing), facing) for rim in rims[emitter.kind]]
    return np.where(at[:, 2] > 0.0, np.maximum(outer - sum(inner), 0.0), 0.0)
