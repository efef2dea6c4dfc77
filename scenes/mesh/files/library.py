"""OBJ, PLY and text STL read by trimesh into placed and named pieces with their colours.

The library is given no picture: it would let Pillow open any format, some of them by external programs.
"""

from __future__ import annotations

import io
import logging
import re
import warnings
from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np

from scenes.mesh.colouring import Colouring, Material
from scenes.mesh.names import named
from scenes.mesh.piece import Piece
from scenes.mesh.triangles import areas

from .file_pictures import FilePictures
from .folder import FolderResolver
from .mtl import ObjMaterials, obj_materials
from .visual import Pictures, visual_colouring

_PLY_PICTURE: Final = re.compile(rb"^[^\n]*TextureFile([^\r\n]+)", re.MULTILINE | re.IGNORECASE)


def read_pieces(data: bytes, kind: str, resolver: FolderResolver) -> tuple[list[Piece], list[str]]:
    """Return the pieces of the content of a mesh file, and notes on their colours."""
    import trimesh

    logging.getLogger("trimesh").addHandler(logging.NullHandler())  # its log is not for users
    options = {"split_objects": True, "split_groups": True} if kind == "obj" else {}
    materials = obj_materials(data, resolver) if kind == "obj" else ObjMaterials({})
    default = _ply_material(data) if kind == "ply" else materials.default
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        warnings.filterwarnings("error", message="string or file could not be read")
        scene = trimesh.load_scene(
            io.BytesIO(data), file_type=kind, resolver=_NamesOnly(materials.by_name), process=False, **options
        )
        found, notes = _pieces(scene, lambda name: materials.by_name.get(name or "", default), FilePictures(resolver))
    in_order = found[::-1] if kind == "obj" else found  # the library reverses the order of an OBJ
    return named(in_order, kind), [*materials.notes, *notes]


class _NamesOnly:
    """A resolver for the library that holds only the names of an OBJ's materials, by which it groups faces."""

    def __init__(self, materials: Mapping[str, Material]) -> None:
        self._materials = materials

    def __getitem__(self, name: str) -> bytes:
        return "".join(f"newmtl {material}\n" for material in self._materials).encode()

    def get(self, name: str) -> bytes:
        """Refuse a picture."""
        raise KeyError(name)


def _ply_material(data: bytes) -> Material:
    names = _PLY_PICTURE.findall(data[: data.find(b"end_header")])
    return Material(picture=names[-1].decode().strip()) if names else Material()


def _pieces(
    scene: Any,
    material_of: Callable[[str | None], Material],
    pictures: Pictures,
) -> tuple[list[Piece], list[str]]:
    """Return each placed piece, and notes."""
    pieces: list[Piece] = []
    notes: list[str] = []
    colourings: dict[str, Colouring] = {}
    order = {name: number for number, name in enumerate(scene.geometry)}
    nodes = scene.graph.nodes_geometry[::-1]
    for node in sorted(nodes, key=lambda node: order[scene.graph[node][1]]):
        matrix, geometry = scene.graph[node]
        mesh = scene.geometry[geometry]
        if getattr(mesh, "faces", None) is None:
            continue  # lines and points
        faces = np.asarray(mesh.faces, np.int64).reshape(-1, 3)
        material = getattr(getattr(mesh.visual, "material", None), "name", None)
        if geometry not in colourings:
            size = areas(np.asarray(mesh.vertices), faces)
            colourings[geometry] = visual_colouring(mesh.visual, faces, size, material_of(material), pictures)
        colouring = colourings[geometry]
        notes += colouring.notes
        vertices = np.asarray(mesh.vertices, np.float64) @ matrix[:3, :3].T + matrix[:3, 3]
        piece = Piece(
            str(node), vertices, faces, colouring.colour, colouring.colour_map, material, colouring.opacity_map
        )
        pieces.append(piece.mirrored() if np.linalg.det(matrix[:3, :3]) < 0 else piece)
    return pieces, list(dict.fromkeys(notes))
