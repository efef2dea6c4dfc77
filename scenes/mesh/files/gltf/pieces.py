"""glTF 2.0 and GLB (ISO/IEC 12113:2022): the triangles of its nodes, placed and named, with their colours."""

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
from scenes.mesh.names import is_generated, named
from scenes.mesh.piece import Piece
from scenes.mesh.repair.merging import without_spare_points
from scenes.mesh.triangles import strip_faces

from .data import Gltf, as_count, normalized, open_gltf
from .limits import DRACO, FAN, STRIP, TRIANGLES, refuse_many_placed
from .materials import Materials
from .nodes import placed_nodes

_READ: Final = (
    DRACO, "KHR_mesh_quantization", "KHR_texture_transform", "KHR_texture_basisu", "EXT_texture_webp",
    "KHR_lights_punctual", "KHR_xmp_json_ld",
)  # fmt: skip
"""Required extensions that are read or do not change the triangles; those of materials are accepted too."""
_SKIN: Final = "it is posed by bones, which are not read here: it stands as it was modelled"


@dataclass(frozen=True)
class _Shape:
    """Triangles of one primitive, in the coordinates of its mesh."""

    vertices: NDArray[np.float32]
    faces: NDArray[np.int64]
    colouring: Colouring
    material: str | None


def read_gltf(path: Path, resolver: FolderResolver) -> tuple[list[Piece], list[str]]:
    """Return the pieces of a glTF or GLB file, in metres, and notes on what is not read.

    Raises
    ------
    InputError
        Where it is cut short or broken, or requires an extension that is not read.
    """
    gltf = open_gltf(path, resolver)
    _refuse_extensions(gltf)
    notes: list[str] = []
    return named(list(_pieces(gltf, notes)), "gltf"), list(dict.fromkeys(notes))


def _refuse_extensions(gltf: Gltf) -> None:
    for extension in gltf.tree.get("extensionsRequired", []):
        if "meshopt" in str(extension):
            raise InputError(f"{gltf.path.name} is compressed ({extension}): export it without that compression")
        if extension not in _READ and not str(extension).startswith("KHR_materials_"):
            raise InputError(f"{gltf.path.name} needs {extension}, which is not read here: export it without that")


def _pieces(gltf: Gltf, notes: list[str]) -> Iterator[Piece]:
    """Yield each placed piece, and add to the notes."""
    materials = Materials(gltf)
    shapes: dict[int, list[_Shape]] = {}
    placed = list(placed_nodes(gltf))
    refuse_many_placed(gltf, [as_count(node["mesh"]) for node, _ in placed])
    for node, matrix in placed:
        number = as_count(node["mesh"])
        mesh = gltf.entry("meshes", number)
        if number not in shapes:
            shapes[number] = [shape for each in mesh["primitives"] if (shape := _shape(gltf, each, materials))]
        names = [str(each.get("name") or "") for each in (node, mesh)]
        name = names[1] if is_generated(names[0]) else names[0]
        notes += [_SKIN] if "skin" in node else []
        for shape in shapes[number]:
            notes += shape.colouring.notes
            yield _piece(name, shape, matrix)


def _shape(gltf: Gltf, primitive: dict[str, Any], materials: Materials) -> _Shape | None:
    """Return the triangles of a primitive, None of points and lines."""
    mode = primitive.get("mode", TRIANGLES)
    attributes = primitive["attributes"]
    if mode not in (TRIANGLES, STRIP, FAN) or "POSITION" not in attributes:
        return None
    packed = primitive.get("extensions", {}).get(DRACO)
    unpacked = {} if packed is None else _unpacked(gltf, packed)

    def read(name: str) -> NDArray[Any] | None:
        if name in unpacked:
            is_fraction = gltf.entry("accessors", attributes[name]).get("normalized") is True
            return normalized(unpacked[name]) if is_fraction else unpacked[name]
        return gltf.values(attributes[name]) if name in attributes else None

    vertices = np.asarray(read("POSITION"), np.float32).reshape(-1, 3)
    indices = unpacked.get("indices")
    if indices is None:
        indices = gltf.values(primitive["indices"]) if "indices" in primitive else np.arange(len(vertices))
    faces = _faces(np.asarray(indices, np.int64).reshape(-1), mode)
    if len(faces) and not 0 <= faces.min() <= faces.max() < len(vertices):
        raise InputError(f"{gltf.path.name} has triangles on points that it does not have: export it again")
    material = primitive.get("material")
    colouring = materials.colouring(material, read, faces)
    return _Shape(
        *without_spare_points(vertices, faces), colouring, materials.name(material)
    )  # of a list that many share


def _unpacked(gltf: Gltf, packed: dict[str, Any]) -> dict[str, NDArray[Any]]:
    """Return the decoded attributes of a Draco-compressed primitive by name, and its "indices"."""
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
    if not (matrix == np.eye(4)).all():
        vertices = vertices.astype(np.float64) @ matrix[:3, :3].T + matrix[:3, 3]
    colouring = shape.colouring
    piece = Piece(
        name, vertices, shape.faces, colouring.colour, colouring.colour_map, shape.material, colouring.opacity_map
    )
    return piece.mirrored() if np.linalg.det(matrix[:3, :3]) < 0 else piece
