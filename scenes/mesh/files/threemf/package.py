"""3MF (3MF Consortium, core specification 1.3, materials and properties 1.2, production 1.1): a zip of XML.

Colours of base materials and colour groups are read by object, triangle and corner; so are components, transforms,
parts and units. Beams, slices, encryption and pictures are not read.
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
from scenes.mesh.piece import CM_PER_UNIT, Piece, is_generic_name
from scenes.mesh.repair.merging import without_spare_points

from .model_part import ModelObject, ModelPart, Placement, model_part

MOST_UNPACKED_BYTES: Final = 2**30
MOST_RATIO: Final = 200
DEEPEST: Final = 32
"""Nesting of components."""


def read_threemf(path: Path) -> tuple[list[Piece], str, list[str]]:
    """Return the placed pieces of a 3MF file, its unit, and notes on what is not read.

    Raises
    ------
    InputError
        Where it unpacks to more than a mesh takes, or an object is a component of itself.
    """
    with zipfile.ZipFile(path) as archive:
        package = _Package(path, archive)
        pieces = [_piece(*placed) for placed in package.placed()]
        unit = package.part(package.main).unit
    return pieces, unit if unit in CM_PER_UNIT else "millimeter", package.notes


class _Package:
    """The model parts of a 3MF file, each read on first use."""

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
        """Notes on what is not read, of all parts that were used."""
        return sorted(set().union(*(part.notes for part in self._parts.values())))

    def placed(self) -> list[tuple[ModelObject, str, Array]]:
        """Return the meshes of all build items, or else of every object, with their names and matrices (4, 4)."""
        main = self.part(self.main)
        items = main.items or [Placement(None, number, np.eye(4)) for number in main.objects]
        found = [each for item in items for each in self._placed(item, self.main, np.eye(4), "", 0)]
        refuse_many_pieces(self._path, len(found))
        stored = {id(model_object): len(model_object.faces) for model_object, _, _ in found}
        refuse_many(self._path, sum(len(model_object.faces) for model_object, _, _ in found), sum(stored.values()))
        return found

    def _placed(
        self, placement: Placement, within: str, parent_matrix: Array, name: str, depth: int
    ) -> Iterator[tuple[ModelObject, str, Array]]:
        """Yield the meshes of an object and of its components, with names and matrices (4, 4)."""
        self._visits += 1
        if depth > DEEPEST:
            raise InputError(f"{self._path.name}: its object {placement.number} is made of itself: export it again")
        if self._visits > 4 * MOST_PIECES:
            raise InputError(f"{self._path.name} puts up more than {MOST_PIECES} pieces: join some, or export it again")
        part = placement.part or within
        model_object = self.part(part).objects.get(placement.number)
        if model_object is None:
            raise InputError(
                f"{self._path.name} puts up object {placement.number}, which it does not hold: export it again"
            )
        name = name if is_generic_name(model_object.name) else model_object.name
        matrix = parent_matrix @ placement.matrix
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
    piece = Piece(name or "model", vertices, faces, colouring.colour, colouring.colour_map)
    return piece.mirrored() if np.linalg.det(matrix[:3, :3]) < 0 else piece
