"""Mesh files read by trimesh into placed and named pieces, with their colours."""

from __future__ import annotations

import io
import logging
import warnings
from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np

from .mesh_folder import FolderResolver
from .mesh_paint import Painted, painted
from .piece import Piece, is_no_name

_NAMELESS = ("stl", "ply", "off")  # one lump, or names that are a program's remark
LINEAR = ("glb", "gltf")
"""The kinds whose colours at points are linear; all others have them as seen."""


def read_pieces(data: bytes, kind: str, resolver: FolderResolver) -> tuple[list[Piece], list[str]]:
    """Return the pieces of a mesh file's content, and what is doubtful about their colours, in words."""
    import trimesh

    logging.getLogger("trimesh").addHandler(logging.NullHandler())  # its remarks are not for the person
    options = {"split_objects": True, "split_groups": True} if kind == "obj" else {}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        warnings.filterwarnings("error", message="string or file could not be read")
        scene = trimesh.load_scene(io.BytesIO(data), file_type=kind, resolver=resolver, process=False, **options)
        found, doubts = _pieces(scene, linear=kind in LINEAR)
    return _named(found[::-1] if kind == "obj" else found, kind), doubts  # the reader turns an OBJ's order round


def _pieces(scene: Any, *, linear: bool) -> tuple[list[Piece], list[str]]:
    """Return each placed piece, and doubts."""
    pieces: list[Piece] = []
    doubts: list[str] = []
    looks: dict[str, Painted] = {}
    order = {name: number for number, name in enumerate(scene.geometry)}
    nodes = scene.graph.nodes_geometry[::-1]
    for node in sorted(nodes, key=lambda node: order[scene.graph[node][1]]):
        matrix, geometry = scene.graph[node]
        mesh = scene.geometry[geometry]
        if getattr(mesh, "faces", None) is None:
            continue  # lines and points
        faces = np.asarray(mesh.faces, np.int64).reshape(-1, 3)
        if geometry not in looks:
            looks[geometry] = painted(mesh.visual, faces, linear=linear)
        look = looks[geometry]
        doubts += look.doubts
        paint = look.paint
        if np.linalg.det(matrix[:3, :3]) < 0:
            faces = faces[:, ::-1]  # a mirrored copy
            paint = paint and paint.turned()
        vertices = np.asarray(mesh.vertices, np.float64) @ matrix[:3, :3].T + matrix[:3, 3]
        shared = mesh.metadata.get("from_gltf_primitive")
        name = str(scene.graph.transforms.parents[node] if shared else node)
        material = getattr(getattr(mesh.visual, "material", None), "name", None)
        pieces.append(Piece(name, vertices, faces, look.colour, paint, material))
    return pieces, list(dict.fromkeys(doubts))


def _named(found: list[Piece], kind: str) -> list[Piece]:
    """Return the pieces with the names that people gave them, and the material's where one has several."""
    plain = [_plain_name(piece.name, piece.material, kind) for piece in found]
    several = Counter(plain)
    names = [
        f"{name} {piece.material}" if several[name] > 1 and piece.material and name != piece.material else name
        for name, piece in zip(plain, found, strict=True)
    ]
    return [replace(piece, name=name) for piece, name in zip(found, names, strict=True)]


def _plain_name(name: str, material: str | None, kind: str) -> str:
    if kind in _NAMELESS or is_no_name(name):
        return "model"
    if kind == "obj":
        name = name.removesuffix(f"_{material}") if material else name
        half = len(name) // 2
        if name[half : half + 1] == "_" and name[:half] == name[half + 1 :]:
            name = name[:half]  # the object and its only group have one name
    return name
