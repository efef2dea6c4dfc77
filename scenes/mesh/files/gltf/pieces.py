"""glTF 2.0 and GLB (ISO/IEC 12113:2022): the triangles that its nodes put up, placed and named, with their colours."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError
from scenes.mesh.colouring import Colouring
from scenes.mesh.files.folder import FolderResolver
from scenes.mesh.files.limits import refuse_many_pieces
from scenes.mesh.names import is_made_up, named
from scenes.mesh.piece import Piece
from scenes.mesh.repair.merging import without_spare_points
from scenes.mesh.triangles import strip_faces

from .data import Gltf, fractions, opened, whole
from .limits import DRACO, FAN, STRIP, TRIANGLES, refuse_many_placed
from .materials import Materials

_READ: Final = (
    DRACO, "KHR_mesh_quantization", "KHR_texture_transform", "KHR_texture_basisu", "EXT_texture_webp",
    "KHR_lights_punctual", "KHR_xmp_json_ld",
)  # fmt: skip
"""Extensions without which the triangles are what they are, or that are read here; and all of materials."""
_MOVES: Final = {"matrix", "rotation", "scale", "translation"}
_SKIN: Final = "it is posed by bones, which are not read here: it stands as it was modelled"


@dataclass(frozen=True)
class _Shape:
    """Triangles of one material, as they lie in the file."""

    vertices: NDArray[np.float32]
    faces: NDArray[np.int64]
    colouring: Colouring
    material: str | None


def read_gltf(path: Path, resolver: FolderResolver) -> tuple[list[Piece], list[str]]:
    """Return the pieces of a glTF or GLB file, in metres, and what is doubtful, in words.

    Raises
    ------
    InputError
        Where it is cut short, broken, or needs what is not read here.
    """
    gltf = opened(path, resolver)
    _refuse_needs(gltf)
    doubts: list[str] = []
    return named(list(_pieces(gltf, doubts)), "gltf"), list(dict.fromkeys(doubts))


def _refuse_needs(gltf: Gltf) -> None:
    for need in gltf.tree.get("extensionsRequired", []):
        if "meshopt" in str(need):
            raise InputError(f"{gltf.path.name} is compressed ({need}): export it without that compression")
        if need not in _READ and not str(need).startswith("KHR_materials_"):
            raise InputError(f"{gltf.path.name} needs {need}, which is not read here: export it without that")


def _pieces(gltf: Gltf, doubts: list[str]) -> Iterator[Piece]:
    """Yield each placed piece; what is doubtful is added to the list."""
    materials = Materials(gltf)
    shapes: dict[int, list[_Shape]] = {}
    placed = list(_placed(gltf))
    refuse_many_placed(gltf, [whole(node["mesh"]) for node, _ in placed])
    for node, matrix in placed:
        number = whole(node["mesh"])
        mesh = gltf.entry("meshes", number)
        if number not in shapes:
            shapes[number] = [shape for each in mesh["primitives"] if (shape := _shape(gltf, each, materials))]
        names = [str(each.get("name") or "") for each in (node, mesh)]
        name = names[1] if is_made_up(names[0]) else names[0]
        doubts += [_SKIN] if "skin" in node else []
        for shape in shapes[number]:
            doubts += shape.colouring.doubts
            yield _piece(name, shape, matrix)


def _placed(gltf: Gltf) -> Iterator[tuple[dict[str, Any], NDArray[np.float64]]]:
    """Yield each node that puts up a mesh, with where it stands; a scene is a tree (glTF 2.0, 3.5.3)."""
    waiting = [(number, np.eye(4)) for number in reversed(_roots(gltf))]
    seen: set[int] = set()
    meshes = 0
    while waiting:
        number, above = waiting.pop()
        node = gltf.entry("nodes", number)
        if number in seen:
            raise InputError(f"{gltf.path.name}: its node {number} hangs in two places or in a ring: export it again")
        seen.add(number)
        matrix = above @ _matrix(node) if _MOVES & node.keys() else above
        waiting += [(child, matrix) for child in reversed(node.get("children", []))]
        if "mesh" in node:
            meshes += 1
            refuse_many_pieces(gltf.path, meshes)
            yield node, matrix


def _roots(gltf: Gltf) -> list[int]:
    nodes: list[dict[str, Any]] = gltf.tree.get("nodes", [])
    if gltf.tree.get("scenes"):
        return list(dict.fromkeys(gltf.entry("scenes", gltf.tree.get("scene", 0)).get("nodes", [])))
    hung = {child for node in nodes for child in node.get("children", [])}
    return [number for number in range(len(nodes)) if number not in hung]


def _matrix(node: dict[str, Any]) -> NDArray[np.float64]:
    if "matrix" in node:
        return np.array(node["matrix"], np.float64).reshape(4, 4).T
    x, y, z, w = np.array(node.get("rotation", (0, 0, 0, 1)), np.float64)
    turn = np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )
    matrix = np.eye(4)
    matrix[:3, :3] = turn * np.array(node.get("scale", (1, 1, 1)), np.float64)
    matrix[:3, 3] = node.get("translation", (0, 0, 0))
    return matrix


def _shape(gltf: Gltf, told: dict[str, Any], materials: Materials) -> _Shape | None:
    """Return a primitive's triangles, none for points and lines."""
    mode = told.get("mode", TRIANGLES)
    attributes = told["attributes"]
    if mode not in (TRIANGLES, STRIP, FAN) or "POSITION" not in attributes:
        return None
    packed = told.get("extensions", {}).get(DRACO)
    unpacked = {} if packed is None else _unpacked(gltf, packed)

    def read(name: str) -> NDArray[Any] | None:
        if name in unpacked:
            is_fraction = gltf.entry("accessors", attributes[name]).get("normalized") is True
            return fractions(unpacked[name]) if is_fraction else unpacked[name]
        return gltf.values(attributes[name]) if name in attributes else None

    vertices = np.asarray(read("POSITION"), np.float32).reshape(-1, 3)
    indices = unpacked.get("indices")
    if indices is None:
        indices = gltf.values(told["indices"]) if "indices" in told else np.arange(len(vertices))
    faces = _faces(np.asarray(indices, np.int64).reshape(-1), mode)
    if len(faces) and not 0 <= faces.min() <= faces.max() < len(vertices):
        raise InputError(f"{gltf.path.name} has triangles on points that it does not have: export it again")
    material = told.get("material")
    colouring = materials.colouring(material, read, faces)
    return _Shape(
        *without_spare_points(vertices, faces), colouring, materials.name(material)
    )  # of a list that many share


def _unpacked(gltf: Gltf, packed: dict[str, Any]) -> dict[str, NDArray[Any]]:
    """Return the values of a Draco-compressed primitive by their names, and "indices"."""
    import DracoPy  # type: ignore[import-not-found]  # a compiled module

    mesh = DracoPy.decode(bytes(gltf.view(packed["bufferView"])))
    names = {number: name for name, number in packed["attributes"].items()}
    found = {names[a["unique_id"]]: np.asarray(a["data"]) for a in mesh.attributes if a["unique_id"] in names}
    return found | {"indices": np.asarray(mesh.faces)}


def _faces(corners: NDArray[np.int64], mode: int) -> NDArray[np.int64]:
    """Return the triangles (m, 3) of a list, a strip or a fan of corners (glTF 2.0, 3.7.2.1)."""
    if mode == TRIANGLES or len(corners) < 3:
        return corners[: len(corners) // 3 * 3].reshape(-1, 3)
    if mode == STRIP:
        return strip_faces(corners)
    first = np.arange(len(corners) - 2)
    return np.stack([corners[first + 1], corners[first + 2], np.full(len(first), corners[0])], axis=1)


def _piece(name: str, shape: _Shape, matrix: NDArray[np.float64]) -> Piece:
    vertices: NDArray[np.floating[Any]] = shape.vertices
    faces, colour_map = shape.faces, shape.colouring.colour_map
    if not (matrix == np.eye(4)).all():
        vertices = vertices.astype(np.float64) @ matrix[:3, :3].T + matrix[:3, 3]
    if np.linalg.det(matrix[:3, :3]) < 0:  # a mirrored copy
        faces, colour_map = faces[:, ::-1], colour_map and colour_map.reversed()
    return Piece(name, vertices, faces, shape.colouring.colour, colour_map, shape.material)
