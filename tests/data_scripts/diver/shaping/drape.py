"""Cloth that is longer than the body under it: it buckles into folds and hangs.

Müller et al., Position Based Dynamics, J. Vis. Commun. Image Represent. 18 (2007), with the corrections of
all constraints averaged at each vertex, so that the result does not depend on their order.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array
from scenes.builtin.shapes.solids import Field
from scenes.builtin.shapes.sweeps import Mesh, outward

from .noise import noise
from .surfacing import edges_of, neighbour_mean

STEPS = 260
PULL_CM = 0.00003  # how far gravity moves a free point in one step
SLACK_CM = 0.10  # how far inside the unfolded suit the body lies
GRID_CM = 0.1


class Cloth(NamedTuple):
    """For each vertex: the way the cloth has fullness (n, 3), how much (share), and whether it is held."""

    grain: Array
    fullness: Array
    held: NDArray[np.bool_]


class _Links(NamedTuple):
    ends: NDArray[np.int64]
    length: Array
    stiffness: Array


def drape(mesh: Mesh, cloth: Cloth, body: Field, bounds: tuple[Array, Array]) -> Mesh:
    """Return the mesh after its cloth has settled on the body."""
    links = _links(mesh, cloth)
    count = np.zeros(len(mesh.vertices))
    for side in (0, 1):
        count += np.bincount(links.ends[:, side], links.stiffness, len(count))
    push = _pusher(body, bounds)
    # a start without any unevenness would stay smooth: nothing would say which way to buckle
    ruffle = 0.05 * noise(mesh.vertices + 0.35 * _wander(mesh.vertices), 0.55, 11)
    ruffle[cloth.held] = 0.0
    slope, _ = push(mesh.vertices)
    place = mesh.vertices + ruffle[:, None] * slope
    before = place.copy()
    free = (~cloth.held).astype(float)[:, None]
    for i in range(STEPS):
        speed = 0.9 * (place - before) * free
        before = place.copy()
        place = place + speed + free * np.array([0.0, 0.0, -PULL_CM])
        for _ in range(3):
            place = place + free * _pulled(place, links, count)
        slope, depth = push(place)
        place = place + free * slope * np.maximum(-SLACK_CM - depth, 0.0)[:, None]
        place = place - free * slope * np.maximum(depth - 0.34, 0.0)[:, None]
        if i % 20 == 19:
            place = _eased(place, mesh.faces, free)
    for _ in range(2):
        place = _eased(place, mesh.faces, free)
    return outward(Mesh(place, mesh.faces))


def _links(mesh: Mesh, cloth: Cloth) -> _Links:
    """Return threads along the edges, and weaker struts across them that resist sharp bending."""
    edges = edges_of(mesh.faces)
    span = mesh.vertices[edges[:, 1]] - mesh.vertices[edges[:, 0]]
    length = np.linalg.norm(span, axis=1)
    grain = cloth.grain[edges].mean(axis=1)
    grain /= np.maximum(np.linalg.norm(grain, axis=1, keepdims=True), 1e-9)
    lie = ((span * grain).sum(axis=1) / length) ** 2
    fullness = cloth.fullness[edges].mean(axis=1)
    rest = length * (1.0 + fullness * lie + 0.02)
    struts = _opposite(mesh.faces)
    across = np.linalg.norm(mesh.vertices[struts[:, 1]] - mesh.vertices[struts[:, 0]], axis=1)
    full = cloth.fullness[struts].mean(axis=1)
    return _Links(
        np.concatenate([edges, struts]),
        np.concatenate([rest, across * (1.0 + 0.4 * full)]),
        np.concatenate([np.ones(len(edges)), np.full(len(struts), 0.35)]),
    )


def _opposite(faces: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return for each inner edge the two vertices that face each other across it."""
    pairs = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    third = np.concatenate([faces[:, 2], faces[:, 0], faces[:, 1]])
    order = np.lexsort(np.sort(pairs, axis=1).T)
    pairs, third = np.sort(pairs, axis=1)[order], third[order]
    twin = np.flatnonzero((pairs[1:] == pairs[:-1]).all(axis=1))
    return np.stack([third[twin], third[twin + 1]], axis=1)


def _pulled(place: Array, links: _Links, count: Array) -> Array:
    span = place[links.ends[:, 1]] - place[links.ends[:, 0]]
    length = np.maximum(np.linalg.norm(span, axis=1), 1e-6)
    move = span * (0.5 * links.stiffness * (length - links.length) / length)[:, None]
    total = np.empty_like(place)
    for axis in range(3):
        total[:, axis] = np.bincount(links.ends[:, 0], move[:, axis], len(place))
        total[:, axis] -= np.bincount(links.ends[:, 1], move[:, axis], len(place))
    return np.asarray(1.5 * total / count[:, None])


def _eased(place: Array, faces: NDArray[np.int64], free: Array) -> Array:
    """Smooth a little without shrinking: a step towards the neighbours and most of it back."""
    for share in (0.35, -0.33):
        place = place + share * free * (neighbour_mean(place, faces) - place)
    return place


def _wander(points: Array) -> Array:
    return np.stack([noise(points, 1.3, seed) for seed in (21, 22, 23)], axis=1)


def _pusher(body: Field, bounds: tuple[Array, Array]) -> Callable[[Array], tuple[Array, Array]]:
    """Return a quick look-up of the body's outward direction and distance on a grid."""
    from scipy.ndimage import map_coordinates

    low, high = bounds
    axes = [np.arange(low[i], high[i], GRID_CM) for i in range(3)]
    shape = [len(axis) for axis in axes]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    distance = np.concatenate([body(part) for part in np.array_split(grid, 20)]).reshape(shape)
    slopes = np.gradient(distance, GRID_CM)

    def look_up(points: Array) -> tuple[Array, Array]:
        where = ((points - low) / GRID_CM).T
        slope = np.stack([map_coordinates(part, where, order=1) for part in slopes], axis=1)
        slope /= np.maximum(np.linalg.norm(slope, axis=1, keepdims=True), 1e-6)
        return slope, np.asarray(map_coordinates(distance, where, order=1))

    return look_up
