"""The XML of a 3MF model part, parsed as a stream: objects, colours and placements."""

from __future__ import annotations

import re
import zipfile
from array import array
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array
from scenes.errors import InputError
from scenes.mesh.files.limits import MOST_PIECES

_GREY: Final = (128, 128, 128)
"""Of triangles without a colour where others have one."""
_PAINTED: Final = ("mmu_segmentation", "paint_color")
"""Attributes of triangles in which slicing programs keep colours of filaments."""
SLICER: Final = "colours that were painted on in a slicing program are not read: save it with colours at its points"
TEXTURES: Final = "pictures in a 3MF are not read: save it as GLB or OBJ to have its colours"
MOST_PLACEMENTS: Final = 4 * MOST_PIECES
"""Build items and components of a part."""
_CHUNK: Final = 2**20


@dataclass(frozen=True)
class Placement:
    """A placed object: its part (None for the same), its id there, and its matrix (4, 4)."""

    part: str | None
    number: str
    matrix: Array


@dataclass
class ModelObject:
    """An object: its name, points (n, 3), faces (m, 3), corner colours (m, 3, 3) in bytes, and components."""

    name: str
    vertices: NDArray[np.float64]
    faces: NDArray[np.int64]
    colours: NDArray[np.uint8] | None
    components: list[Placement]


@dataclass
class ModelPart:
    """The objects and build items of a part, and notes on what is not read."""

    unit: str = "millimeter"
    objects: dict[str, ModelObject] = field(default_factory=dict)
    items: list[Placement] = field(default_factory=list)
    notes: set[str] = field(default_factory=set)


def model_part(archive: zipfile.ZipFile, name: str) -> ModelPart:
    """Return a part of a 3MF file.

    Raises
    ------
    InputError
        Where it declares a document type, which 3MF forbids (core specification, 2.3.4).
    """
    from lxml import etree  # type: ignore[import-untyped]  # ships no type information

    reader = _Reader()
    parser = etree.XMLParser(target=reader, resolve_entities=False, no_network=True, load_dtd=False)
    with archive.open(name) as stream:
        while chunk := stream.read(_CHUNK):
            parser.feed(chunk)
    parser.close()
    return reader.part


class _Reader:
    """The parser's target: called at the start and the end of each element."""

    def __init__(self) -> None:
        self.part = ModelPart()
        self._colours: dict[str, list[tuple[int, ...]]] = {}
        self._group: list[tuple[int, ...]] = []
        self._open: Mapping[str, str] = {}
        self._placements = 0
        self._clear()

    def _clear(self) -> None:
        self._points, self._corners, self._seen = array("d"), array("q"), array("B")
        self._is_coloured = False
        self._components: list[Placement] = []

    def doctype(self, *_: Any) -> None:
        """Refuse a document type, which could refer to other files or expand without limit."""
        raise InputError("its XML declares a document type, which no 3MF does: export it again")

    def start(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Read the attributes of an element."""
        kind = tag.rpartition("}")[2]
        if kind == "vertex":
            self._points.extend((float(attributes["x"]), float(attributes["y"]), float(attributes["z"])))
        elif kind == "triangle":
            self._corners.extend((int(attributes["v1"]), int(attributes["v2"]), int(attributes["v3"])))
            self._seen.extend(self._corner_colours(attributes))
            if len(attributes) > 3 and any(key.endswith(_PAINTED) for key in attributes):
                self.part.notes.add(SLICER)
        elif kind in ("base", "color"):
            self._group.append(_bytes(attributes.get("displaycolor") or attributes.get("color") or ""))
        elif kind in ("basematerials", "colorgroup"):
            self._group = self._colours[attributes["id"]] = []
        elif kind == "texture2dgroup":
            self.part.notes.add(TEXTURES)
        elif kind == "object":
            self._open = dict(attributes)
            self._clear()
        elif kind == "component":
            self._components.append(self._placement(attributes))
        elif kind == "item":
            self.part.items.append(self._placement(attributes))
        elif kind == "model":
            self.part.unit = attributes.get("unit", "millimeter")

    def end(self, tag: str) -> None:
        """Store a complete object."""
        if tag.rpartition("}")[2] == "object":
            number = self._open["id"]
            self.part.objects[number] = ModelObject(
                self._open.get("name") or number,
                np.array(self._points, np.float64).reshape(-1, 3),
                np.array(self._corners, np.int64).reshape(-1, 3),
                np.array(self._seen, np.uint8).reshape(-1, 3, 3) if self._is_coloured else None,
                self._components,
            )
            self._clear()

    def close(self) -> None:
        """Return nothing: the result is in `part`."""

    def _placement(self, attributes: Mapping[str, str]) -> Placement:
        self._placements += 1
        if self._placements > MOST_PLACEMENTS:
            raise InputError(f"it puts up objects more than {MOST_PLACEMENTS} times: join some, or export it again")
        return _placement(attributes)

    def _corner_colours(self, attributes: Mapping[str, str]) -> tuple[int, ...]:
        """Return nine bytes: the colours of a triangle's corners, else its object's, else grey."""
        group = self._colours.get(attributes.get("pid") or self._open.get("pid") or "")
        if not group:
            return _GREY * 3
        self._is_coloured = True
        first = attributes.get("p1") or self._open.get("pindex") or "0"
        places = [int(attributes.get(key) or first) for key in ("p1", "p2", "p3")]
        return sum((group[place] if 0 <= place < len(group) else _GREY for place in places), ())


def _placement(attributes: Mapping[str, str]) -> Placement:
    part = next((value for key, value in attributes.items() if key.endswith("}path")), None)  # production extension 1.1
    return Placement(part, attributes["objectid"], _matrix(attributes.get("transform")))


def _bytes(colour: str) -> tuple[int, ...]:
    if not re.fullmatch(r"#[0-9a-fA-F]{6}([0-9a-fA-F]{2})?", colour):
        return _GREY
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _matrix(words: str | None) -> Array:
    """Return the matrix (4, 4) of a transform: twelve numbers, the rows of a matrix that multiplies row vectors."""
    matrix = np.eye(4)
    if words:
        matrix[:, :3] = np.array(words.split(), np.float64).reshape(4, 3)
    return matrix.T
