"""3MF (3MF Consortium, core specification 1.3, materials and properties extension 1.2): a zip of XML.

Read here for the colours, which the mesh library leaves out: of base materials and colour groups, by object, triangle
and corner. Components, transforms and units count; beams, slices, textures and encryption are not read.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.colours import srgb_decode

from .errors import InputError
from .paint import Paint
from .piece import CM_PER_UNIT, Piece, is_no_name
from .shading import plain_colour

MOST_UNPACKED_BYTES: Final = 2 * 2**30
MOST_RATIO: Final = 200
DEEPEST: Final = 32
"""Of components in components."""
MOST_PIECES: Final = 10_000
_PARSER: Final = {"resolve_entities": False, "no_network": True, "load_dtd": False, "huge_tree": True}

Matrix = NDArray[np.float64]


@dataclass
class _Object:
    """A mesh, or objects put together: its name, points, faces, corner colours, and what it is made of."""

    name: str
    vertices: NDArray[np.float64]
    faces: NDArray[np.int64]
    colours: NDArray[np.uint8] | None
    parts: list[tuple[str, Matrix]] = field(default_factory=list)


def read_threemf(path: Path) -> tuple[list[Piece], str]:
    """Return the pieces of a 3MF file as they stand together, and its unit.

    Raises
    ------
    InputError
        Where it unpacks to more than a mesh takes, or its objects are made of one another.
    """
    unit, objects, items = _model(path)
    pieces: list[Piece] = []
    for number, matrix in items:
        for found, placed in _placed(path, objects, number, matrix, 0):
            pieces.append(_piece(found, placed))
            if len(pieces) > MOST_PIECES:
                raise InputError(f"{path.name} puts up more than {MOST_PIECES} pieces: it is broken, export it again")
    return pieces, unit if unit in CM_PER_UNIT else "millimeter"


def _model(path: Path) -> tuple[str, dict[str, _Object], list[tuple[str, Matrix]]]:
    from lxml import etree  # type: ignore[import-untyped]  # ships no type information

    colours: dict[str, list[tuple[int, int, int]]] = {}
    objects: dict[str, _Object] = {}
    items: list[tuple[str, Matrix]] = []
    unit = "millimeter"
    with zipfile.ZipFile(path) as archive:
        name = next((n for n in archive.namelist() if n.lower().strip("/").endswith("3d/3dmodel.model")), None)
        name = name or next((n for n in archive.namelist() if n.lower().endswith(".model")), None)
        if name is None:
            raise InputError(f"{path.name} holds no model, so it is no 3MF file: export it again")
        _refuse_bomb(path, archive.getinfo(name))
        tags = ("{*}model", "{*}basematerials", "{*}colorgroup", "{*}object", "{*}item")
        with archive.open(name) as stream:
            for event, element in etree.iterparse(stream, events=("start", "end"), tag=tags, **_PARSER):
                kind = etree.QName(element).localname
                if event == "start":
                    unit = element.get("unit", unit) if kind == "model" else unit
                elif kind in ("basematerials", "colorgroup"):
                    told = [child.get("displaycolor") or child.get("color") or "#ffffff" for child in element]
                    colours[element.get("id")] = [_bytes(colour) for colour in told]
                elif kind == "object":
                    objects[element.get("id")] = _object(element, colours)
                    element.clear()
                elif kind == "item":
                    items.append((element.get("objectid"), _matrix(element.get("transform"))))
    return unit, objects, items or [(number, np.eye(4)) for number in objects]


def _refuse_bomb(path: Path, info: zipfile.ZipInfo) -> None:
    if info.file_size > MOST_UNPACKED_BYTES or info.file_size > MOST_RATIO * max(info.compress_size, 1000):
        raise InputError(
            f"{path.name} unpacks from {info.compress_size} to {info.file_size} bytes, more than a mesh does: "
            "it is not read"
        )


def _object(element: Any, colours: dict[str, list[tuple[int, int, int]]]) -> _Object:
    vertices = np.array(
        [(float(v.get("x")), float(v.get("y")), float(v.get("z"))) for v in element.iter("{*}vertex")], np.float64
    ).reshape(-1, 3)
    triangles = list(element.iter("{*}triangle"))
    faces = np.array([[int(t.get(corner)) for corner in ("v1", "v2", "v3")] for t in triangles], np.int64)
    parts = [(part.get("objectid"), _matrix(part.get("transform"))) for part in element.iter("{*}component")]
    own = (element.get("pid"), element.get("pindex", "0"))
    is_coloured = own[0] in colours or any(t.get("pid") in colours for t in triangles)
    painted = np.array([_corners(t, own, colours) for t in triangles], np.uint8) if is_coloured else None
    name = element.get("name") or element.get("id")
    return _Object(name, vertices, faces.reshape(-1, 3), painted, parts)


def _corners(
    triangle: Any, own: tuple[str | None, str], colours: dict[str, list[tuple[int, int, int]]]
) -> list[tuple[int, int, int]]:
    """Return the colours of a triangle's corners: its own, else its object's, else a middle grey."""
    group = colours.get(triangle.get("pid", own[0]) or "")
    if not group:
        return [(128, 128, 128)] * 3
    first = triangle.get("p1", own[1])
    places = [int(triangle.get(key, first)) for key in ("p1", "p2", "p3")]
    return [group[place] if 0 <= place < len(group) else (128, 128, 128) for place in places]


def _bytes(colour: str) -> tuple[int, int, int]:
    if not re.fullmatch(r"#[0-9a-fA-F]{6}([0-9a-fA-F]{2})?", colour):
        return 128, 128, 128
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _matrix(words: str | None) -> Matrix:
    """Return the matrix (4, 4) of a transform: twelve numbers, row by row of a matrix that rows are multiplied with."""
    matrix = np.eye(4)
    if words:
        matrix[:, :3] = np.array(words.split(), np.float64).reshape(4, 3)
    return matrix.T


def _placed(
    path: Path, objects: dict[str, _Object], number: str, matrix: Matrix, depth: int
) -> Iterator[tuple[_Object, Matrix]]:
    """Yield the meshes that an object is made of, each with where it stands."""
    if depth > DEEPEST:
        raise InputError(f"{path.name}: its object {number} is made of itself: export it again")
    found = objects.get(number)
    if found is None:
        raise InputError(f"{path.name} puts up object {number}, which it does not hold: export it again")
    if len(found.faces):
        yield found, matrix
    for part, own in found.parts:
        yield from _placed(path, objects, part, matrix @ own, depth + 1)


def _piece(found: _Object, matrix: Matrix) -> Piece:
    with np.errstate(invalid="ignore", over="ignore"):  # what is no finite number is told later
        vertices = found.vertices @ matrix[:3, :3].T + matrix[:3, 3]
    faces, colours = found.faces, found.colours
    if np.linalg.det(matrix[:3, :3]) < 0:  # a mirrored copy
        faces, colours = faces[:, ::-1], None if colours is None else colours[:, ::-1]
    name = "model" if is_no_name(found.name) else found.name
    if colours is None:
        return Piece(name, vertices, faces)
    if (colours == colours[0, 0]).all():
        return Piece(name, vertices, faces, plain_colour(colours[0], linear=False))
    return Piece(name, vertices, faces, paint=Paint(srgb_decode(colours / 255).astype(np.float32)))
