"""Light baked into a scan's colours, removed as far as it depends on the surface normal alone.

Irradiance from distant light is close to nine harmonics of the normal (Ramamoorthi and Hanrahan 2001, "An efficient
representation for irradiance environment maps"). They are fitted to the logarithm of the luminance of all coloured
faces, and the fit is divided out. Cast shadows stay; colours that go with a direction, such as a pale belly, are
removed as if they were light.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from materials.colour.srgb import LUMINANCE_WEIGHTS
from scenes.mesh.colour_map import ColourMap
from scenes.mesh.triangles import areas

from .relighting_picture import with_gains
from .subject import Part, Subject

DARKEST = 1e-3
"""Luminance under which a colour is left out of the fit."""
FITTED_FACES = 200_000
CLIPPED_SHARE = 0.02
_ROUNDS = 12


def flattened(subject: Subject, amount: float) -> Subject:
    """Return a subject with a share (0 to 1) of the baked light removed from its colours; mean luminance is kept."""
    coloured = [i for i, part in enumerate(subject.parts) if part.colour_map is not None]
    if not amount or not coloured:
        return subject
    normals, luminance, weights = (
        np.concatenate(rows) for rows in zip(*(_faces(subject.parts[i]) for i in coloured), strict=True)
    )
    light = amount * fitted_light(normals, np.log(np.maximum(luminance, DARKEST)), weights * (luminance > DARKEST))
    levelled = luminance / np.exp(harmonics(normals) @ light)
    level = float(weights @ luminance / max(weights @ levelled, 1e-12))
    gains = [_gains(subject.parts[i], light, level) for i in coloured]
    colour_maps, clipped = _with_all_gains(
        [colour_map for i in coloured if (colour_map := subject.parts[i].colour_map)], gains
    )
    parts = list(subject.parts)
    for i, colour_map in zip(coloured, colour_maps, strict=True):
        parts[i] = replace(parts[i], colour_map=colour_map)
    notes = [f"flatten = {amount:g} takes out light that was baked into its colours, by the way its surfaces look"]
    if clipped > CLIPPED_SHARE:
        notes.append(f"flatten = {amount:g} would make {100 * clipped:.0f} % of its colours brighter than white")
    return replace(subject, parts=tuple(parts), notes=(*subject.notes, *notes))


def harmonics(normals: NDArray[np.floating]) -> Vector:
    """Return the spherical harmonics of bands 1 and 2 (n, 8) of unit normals (n, 3), each of unit variance."""
    x, y, z = np.asarray(normals, np.float64).T
    first = np.sqrt(3.0) * np.stack([x, y, z])
    second = np.sqrt(15.0) * np.stack([x * y, y * z, x * z, (x * x - y * y) / 2, (3 * z * z - 1) / np.sqrt(12.0)])
    return np.concatenate([first, second]).T


def fitted_light(normals: NDArray[np.floating], logarithm: Vector, weights: Vector) -> Vector:
    """Return the coefficients (8,) of harmonics fitted to the logarithm of luminance (n,), without its mean.

    Iteratively reweighted least squares with Huber's weights (1964), slightly regularised, so that a surface with
    little curvature gives coefficients near 0.
    """
    step = -(-len(normals) // FITTED_FACES)
    basis = np.column_stack([np.ones(len(normals[::step])), harmonics(normals[::step])])
    logarithm, weights = logarithm[::step], weights[::step] / max(weights[::step].sum(), 1e-30)
    regularisation = np.diag([0.0, *[1e-3] * 8])
    huber_weights = np.ones(len(basis))
    for _ in range(_ROUNDS):
        weighted = basis * (weights * huber_weights)[:, None]
        coefficients = np.linalg.solve(basis.T @ weighted + regularisation + 1e-12 * np.eye(9), weighted.T @ logarithm)
        residual = np.abs(logarithm - basis @ coefficients)
        threshold = 1.345 * 1.4826 * np.median(residual[weights > 0]) if (weights > 0).any() else 1.0
        huber_weights = np.minimum(1.0, max(threshold, 1e-6) / np.maximum(residual, 1e-12))
    return np.asarray(coefficients[1:])


def _faces(part: Part) -> tuple[Vector, Vector, Vector]:
    """Return the unit normals (m, 3), luminances at the centres (m,) and areas (m,) of a part's faces."""
    assert part.colour_map is not None
    normals = part.normals[part.faces].mean(axis=1, dtype=np.float64)
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-12)
    return normals, part.colour_map.face_colours @ LUMINANCE_WEIGHTS, areas(part.vertices_cm, part.faces)


def _gains(part: Part, light: Vector, level: float) -> NDArray[np.float32]:
    """Return the gain of the colours at each corner (m, 3)."""
    gain = level / np.exp(harmonics(part.normals) @ light)
    return gain.astype(np.float32)[part.faces]


def _with_all_gains(colour_maps: list[ColourMap], gains: list[NDArray[np.float32]]) -> tuple[list[ColourMap], float]:
    """Return colour maps times their gains, and the share of faces that clips."""
    pictures: dict[int, tuple[NDArray[np.uint8], float]] = {}
    coefficients, clipped = [], 0.0
    for colour_map, gain in zip(colour_maps, gains, strict=True):
        if colour_map.picture is None:
            values = colour_map.corners * gain[..., None]
            over = float((values > 1).any(axis=2).mean())
            coefficients.append(replace(colour_map, corners=np.clip(values, 0.0, 1.0)))
        else:
            if id(colour_map.picture) not in pictures:  # several parts may share it
                own = [i for i, other in enumerate(colour_maps) if other.picture is colour_map.picture]
                pictures[id(colour_map.picture)] = with_gains(
                    colour_map.picture, [colour_maps[i].corners for i in own], [gains[i] for i in own]
                )
            picture, over = pictures[id(colour_map.picture)]
            coefficients.append(replace(colour_map, picture=picture))
        clipped += over * len(gain)
    return coefficients, clipped / sum(len(gain) for gain in gains)
