"""The nodes of a glTF scene that hold meshes, each with its transform."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError
from scenes.mesh.files.limits import refuse_many_pieces

from .data import Gltf

TRANSFORMS: Final = {"matrix", "rotation", "scale", "translation"}


def placed_nodes(gltf: Gltf) -> Iterator[tuple[dict[str, Any], NDArray[np.float64]]]:
    """Yield each node with a mesh, and its matrix (4, 4) to the scene; a scene is a tree (glTF 2.0, 3.5.3).

    Raises
    ------
    InputError
        Where a node has two parents or is its own ancestor, or there are too many.
    """
    pending = [(number, np.eye(4)) for number in reversed(_roots(gltf))]
    seen: set[int] = set()
    meshes = 0
    while pending:
        number, parent_matrix = pending.pop()
        node = gltf.entry("nodes", number)
        if number in seen:
            raise InputError(f"{gltf.path.name}: its node {number} hangs in two places or in a ring: export it again")
        seen.add(number)
        matrix = parent_matrix @ _matrix(node) if TRANSFORMS & node.keys() else parent_matrix
        pending += [(child, matrix) for child in reversed(node.get("children", []))]
        if "mesh" in node:
            meshes += 1
            refuse_many_pieces(gltf.path, meshes)
            yield node, matrix


def _roots(gltf: Gltf) -> list[int]:
    nodes: list[dict[str, Any]] = gltf.tree.get("nodes", [])
    if gltf.tree.get("scenes"):
        return list(dict.fromkeys(gltf.entry("scenes", gltf.tree.get("scene", 0)).get("nodes", [])))
    children = {child for node in nodes for child in node.get("children", [])}
    return [number for number in range(len(nodes)) if number not in children]


def _matrix(node: dict[str, Any]) -> NDArray[np.float64]:
    if "matrix" in node:
        return np.array(node["matrix"], np.float64).reshape(4, 4).T
    x, y, z, w = np.array(node.get("rotation", (0, 0, 0, 1)), np.float64)
    rotation = np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )
    matrix = np.eye(4)
    matrix[:3, :3] = rotation * np.array(node.get("scale", (1, 1, 1)), np.float64)
    matrix[:3, 3] = node.get("translation", (0, 0, 0))
    return matrix
