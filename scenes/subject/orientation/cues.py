"""What the shape of a model tells about how it stands: a flat base, its stability, and its mirror symmetry.

After Fu, Cohen-Or, Dror and Sheffer, Upright orientation of man-made objects (SIGGRAPH 2008), who rank candidate bases
by static stability, symmetry and parallelism.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Final, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull, QhullError, cKDTree

from scenes.mesh.triangles import area_normals
from scenes.subject.subject import Subject

Vector: TypeAlias = NDArray[np.float64]
Side: TypeAlias = tuple[int, int]
"""An axis of the table, 0 to 2, and its sign."""

POINTS: Final = 4000
"""Of the surface, for the centre of its area, its outline and its symmetry."""
CONTACT: Final = 0.02
"""Height over the lowest point, in sizes, up to which a model touches the table: feet are never quite level."""
FLAT: Final = 0.01
"""The same of a triangle that is part of a flat base."""


class Cues(NamedTuple):
    """What is found with one side of the model up.

    Parameters
    ----------
    flat_base
        Area of the triangles that lie on the table, over that of the model's outline from above; 0 to 1.
    tipping_deg
        How far the model tilts before it tips: the least angle, over the edges of the support polygon, at which the
        centre of its area stands over the edge. Negative where it falls at once. A broad base and a low mass raise it.
    asymmetry
        How much worse the model is mirrored top to bottom than along the best other axis: what stands is seldom the
        same top and bottom, and often left and right. Mean distance from mirrored to nearest points, in diagonals.
    """

    flat_base: float
    tipping_deg: float
    asymmetry: float


def standing_cues(model: Subject) -> dict[Side, Cues]:
    """Return the cues of a model, its plinth left out, with each side of its bounding box up."""
    model = replace(model, parts=model.model_parts)
    points, mirrored = model.surface_points(POINTS), mirror_distances(model)
    low, high = model.model_bounds_cm
    size = float((high - low).max())
    found = {}
    for axis, sign in product(range(3), (1, -1)):
        across = [i for i in range(3) if i != axis]
        base = low[axis] if sign > 0 else -high[axis]
        outline = max(_polygon_area(points[:, across]), 1e-9 * size**2)
        contact = [
            part.vertices_cm[sign * part.vertices_cm[:, axis] <= base + CONTACT * size][:, across]
            for part in model.parts
        ]
        centre = points.mean(axis=0)
        tipping = _tipping_deg(np.concatenate(contact).astype(float), centre[across], sign * centre[axis] - base)
        flat = _flat_area(model, axis, sign, base + FLAT * size) / outline
        asymmetry = mirrored[axis] - float(np.delete(mirrored, axis).min())
        found[axis, sign] = Cues(min(flat, 1.0), tipping, float(asymmetry))
    return found


def mirror_distances(model: Subject) -> Vector:
    """Return (3,) the mean distance from points mirrored along each axis to the nearest of the model, in diagonals."""
    points = replace(model, parts=model.model_parts).surface_points(POINTS)
    low, high = model.model_bounds_cm
    tree, distances = cKDTree(points), []
    for axis in range(3):
        mirrored = points.copy()
        mirrored[:, axis] = low[axis] + high[axis] - mirrored[:, axis]
        distances.append(tree.query(mirrored)[0].mean())
    return np.asarray(np.array(distances) / np.linalg.norm(high - low))


def _flat_area(model: Subject, axis: int, sign: int, level: float) -> float:
    """Return the area, projected on the table, of the triangles that lie below a level, cm2."""
    total = 0.0
    for part in model.parts:
        lying = (sign * part.vertices_cm[:, axis] <= level)[part.faces].all(axis=1)
        total += float(np.abs(area_normals(part.vertices_cm, part.faces[lying])[:, axis]).sum())
    return total


def _polygon_area(points: Vector) -> float:
    """Return the area of the convex hull of points (n, 2); 0 where they lie on a line."""
    hull = _hull(points)
    return 0.0 if hull is None else float(hull.volume)


def _tipping_deg(contact: Vector, centre: Vector, height: float) -> float:
    """Return the angle to the nearest edge of the support polygon, from a centre (2,) at a height over it."""
    hull = _hull(contact)
    if hull is None:
        return 0.0
    inwards = -(hull.equations[:, :2] @ centre + hull.equations[:, 2])  # distances from the edges
    return float(np.degrees(np.arctan2(inwards.min(), height)))


def _hull(points: Vector) -> ConvexHull | None:
    """Return the convex hull of points (n, 2); None where they have no area."""
    try:
        return ConvexHull(points) if len(points) > 2 else None
    except QhullError:
        return None
