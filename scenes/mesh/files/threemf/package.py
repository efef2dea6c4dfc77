"""3MF (3MF Consortium, core specification 1.3, materials and properties 1.2, production 1.1): a zip of XML.

Read here for the colours, which the mesh library leaves out: of base materials and colour groups, by object, triangle
and corner. Components, transforms, parts and units count; beams, slices and encryption are not read, pictures neither.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import numpy as np

from materials.arrays import Array
from scenes.errors import InputError
from scenes.mesh.colouring import Colouring, corner_colouring
from scenes.mesh.files.limits import MOST_PIECES, refuse_many, refuse_many_pieces
from scenes.mesh.piece import CM_PER_UNIT, Piece, is_no_name
from scenes.mesh.repair.merging import without_spare_points

from .model_part import ModelObject, ModelPart, Placement, model_part

MOST_UNPACKED_BYTES: Final = 2**30
MOST_RATIO: Final = 200
DEEPEST: Final = 32
"""Of components in components."""


def read_threemf(path: Path) -> tuple[list[Piece], str, list[str]]:
    """Return the pieces of a 3MF file as they stand together, its unit, and what is not read, in words.

    Raises
    ------
    InputError
        Where it unpacks to more than a mesh takes, or its objects are made of one another.
    """
    with zipfile.ZipFile(path) as archive:
        package = _Package(path, archive)
        pieces = [_piece(*placed) for placed in package.placed()]
        unit = package.part(package.main).unit
    return pieces, unit if unit in CM_PER_UNIT else "millimeter", package.notes


class _Package:
    """The model parts of a 3MF file, each read when it is first needed."""

    def __init__(self, path: Path, archive: zipfile.ZipFile) -> None:
        self._path, self._archive = path, archive
        self._names = {name.lower().strip("/"): name for name in archive.namelist()}
        models = [name for name in self._names if name.endswith(".model")]
        if not models:
            raise InputError(f"{path.name} holds no model, so it is no 3MF file: export it again")
        self.main = next((name for name in models if name.endswith("3d/3dmodel.model")), models[0])
        self._parts: dict[str, ModelPart] = {}
        self._visits = self._unpacked = 0

    def part(self, name: str) -> ModelPart:
        """Return a part by its path."""
        name = name.lower().strip("/")
        if name not in self._parts:
            if name not in self._names:
                raise InputError(f"{self._path.name} names its part '{name}', which it does not hold: export it again")
            self._refuse_bomb(self._archive.getinfo(self._names[name]))
            self._parts[name] = model_part(self._archive, self._names[name])
        return self._parts[name]

    @property
    def notes(self) -> list[str]:
        """What is not read of the parts that were, in words."""
        return sorted(set().union(*(part.notes for part in self._parts.values())))

    def placed(self) -> list[tuple[ModelObject, str, Array]]:
        """Return what is put up, and where nothing is, every object: the meshes, their names and places."""
        main = self.part(self.main)
        items = main.items or [Placement(None, number, np.eye(4)) for number in main.objects]
        found = [each for item in items for each in self._placed(item, self.main, np.eye(4), "", 0)]
        refuse_many_pieces(self._path, len(found))
        stored = {id(model_object): len(model_object.faces) for model_object, _, _ in found}
        refuse_many(self._path, sum(len(model_object.faces) for model_object, _, _ in found), sum(stored.values()))
        return found

    def _placed(
        self, put: Placement, within: str, above: Array, name: str, depth: int
    ) -> Iterator[tuple[ModelObject, str, Array]]:
        """Yield the meshes that an object is made of, with their names, or those they are part of, and places."""
        self._visits += 1
        if depth > DEEPEST:
            raise InputError(f"{self._path.name}: its object {put.number} is made of itself: export it again")
        if self._visits > 4 * MOST_PIECES:
            raise InputError(f"{self._path.name} puts up more than {MOST_PIECES} pieces: join some, or export it again")
        part = put.part or within
        model_object = self.part(part).objects.get(put.number)
        if model_object is None:
            raise InputError(f"{self._path.name} puts up object {put.number}, which it does not hold: export it again")
        name = name if is_no_name(model_object.name) else model_object.name
        matrix = above @ put.matrix
        if len(model_object.faces):
            yield model_object, name, matrix
        for each in model_object.components:
            yield from self._placed(each, part, matrix, name, depth + 1)

    def _refuse_bomb(self, info: zipfile.ZipInfo) -> None:
        self._unpacked += info.file_size
        if self._unpacked > MOST_UNPACKED_BYTES or info.file_size > MOST_RATIO * max(info.compress_size, 1000):
            raise InputError(
                f"{self._path.name} unpacks from {info.compress_size} to {info.file_size} bytes, "
                "more than a mesh does: it is not read"
            )


def _piece(model_object: ModelObject, name: str, matrix: Array) -> Piece:
    points, faces = without_spare_points(model_object.vertices, model_object.faces)
    vertices = points @ matrix[:3, :3].T + matrix[:3, 3]
    colouring = Colouring() if model_object.colours is None else corner_colouring(model_object.colours)
    colour_map = colouring.colour_map
    if np.linalg.det(matrix[:3, :3]) < 0:  # a mirrored copy
        faces, colour_map = faces[:, ::-1], colour_map and colour_map.reversed()
    return Piece(name or "model", vertices, faces, colouring.colour, colour_map)
