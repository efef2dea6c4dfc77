"""Mesh files read by trimesh into placed and named pieces, with their colours: OBJ, PLY and STL in words."""

from __future__ import annotations

import io
import logging
import warnings
from typing import Any

import numpy as np

from scenes.mesh.names import named
from scenes.mesh.pictures import Album
from scenes.mesh.piece import Piece
from scenes.mesh.piece_paint import Painted, painted

from .folder import FolderResolver


def read_pieces(data: bytes, kind: str, resolver: FolderResolver) -> tuple[list[Piece], list[str]]:
    """Return the pieces of a mesh file's content, and what is doubtful about their colours, in words."""
    import trimesh

    logging.getLogger("trimesh").addHandler(logging.NullHandler())  # its remarks are not for the person
    options = {"split_objects": True, "split_groups": True} if kind == "obj" else {}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        warnings.filterwarnings("error", message="string or file could not be read")
        scene = trimesh.load_scene(io.BytesIO(data), file_type=kind, resolver=resolver, process=False, **options)
        found, doubts = _pieces(scene)
    return named(found[::-1] if kind == "obj" else found, kind), doubts  # the reader turns an OBJ's order round


def _pieces(scene: Any) -> tuple[list[Piece], list[str]]:
    """Return each placed piece, and doubts."""
    pieces: list[Piece] = []
    doubts: list[str] = []
    looks: dict[str, Painted] = {}
    album = Album()
    order = {name: number for number, name in enumerate(scene.geometry)}
    nodes = scene.graph.nodes_geometry[::-1]
    for node in sorted(nodes, key=lambda node: order[scene.graph[node][1]]):
        matrix, geometry = scene.graph[node]
        mesh = scene.geometry[geometry]
        if getattr(mesh, "faces", None) is None:
            continue  # lines and points
        faces = np.asarray(mesh.faces, np.int64).reshape(-1, 3)
        if geometry not in looks:
            looks[geometry] = painted(mesh.visual, faces, album)
        look = looks[geometry]
        doubts += look.doubts
        paint = look.paint
        if np.linalg.det(matrix[:3, :3]) < 0:
            faces = faces[:, ::-1]  # a mirrored copy
            paint = paint and paint.turned()
        vertices = np.asarray(mesh.vertices, np.float64) @ matrix[:3, :3].T + matrix[:3, 3]
        material = getattr(getattr(mesh.visual, "material", None), "name", None)
        pieces.append(Piece(str(node), vertices, faces, look.colour, paint, material))
    return pieces, list(dict.fromkeys(doubts))
