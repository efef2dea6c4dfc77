"""Triangle strips of a PLY file (Turk 1994), as scanners write them, converted to faces.

Each row of the element `tristrips` is a list of points; a negative number in it begins another strip.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError
from scenes.mesh.triangles import strip_faces

from .limits import refuse_many

_ELEMENT: Final = re.compile(
    rb"^element[ \t]+(\S+)[ \t]+(\d{1,18})[ \t\r]*\n((?:(?:property|comment|obj_info)[^\n]*\n)*)", re.MULTILINE
)
_PROPERTY: Final = re.compile(rb"^property[ \t]+(?:list[ \t]+(\w+)[ \t]+)?(\w+)[ \t]+\S+", re.MULTILINE)
_NUMBERS: Final = {
    b"char": "i1", b"uchar": "u1", b"short": "i2", b"ushort": "u2", b"int": "i4", b"uint": "u4", b"float": "f4",
    b"double": "f8", b"int8": "i1", b"uint8": "u1", b"int16": "i2", b"uint16": "u2", b"int32": "i4", b"uint32": "u4",
    b"float32": "f4", b"float64": "f8",
}  # fmt: skip
_FACES: Final = b"element face %d\nproperty list uchar int vertex_indices\nend_header\n"


@dataclass(frozen=True)
class _Element:
    """An element: name, number of rows, its lines of the header, and its properties (type of list length, type)."""

    name: bytes
    count: int
    text: bytes
    properties: list[tuple[bytes, bytes]]


def with_plain_faces(path: Path, data: bytes) -> bytes:
    """Return the content of a PLY file with faces in place of its strips, and without the elements after them.

    Raises
    ------
    InputError, ValueError
        Where the strips are too many or follow other lists; where they are cut short.
    """
    head = data[: data.index(b"\n", data.index(b"end_header")) + 1]
    elements = [_Element(e[1], int(e[2]), e[0], _PROPERTY.findall(e[3])) for e in _ELEMENT.finditer(head)]
    place = [element.name for element in elements].index(b"tristrips")
    before, strips = [element for element in elements[:place] if element.count], elements[place]
    follows_lists = any(length for element in before for length, _ in element.properties)
    if follows_lists or [bool(length) for length, _ in strips.properties] != [True]:
        raise InputError(f"{path.name} keeps its strips of triangles after other lists: export plain triangles")
    read = _text_rows if re.match(rb"ply\s+format\s+ascii", head) else _binary_rows
    order = ">" if b"binary_big_endian" in head else "<"
    rows_before, corners = read(data[len(head) :], before, strips, order)
    refuse_many(path, len(corners))
    faces = strip_faces(corners)
    first = head[: head.index(elements[0].text)]
    heading = first + b"".join(element.text for element in before)
    return (
        heading
        + _FACES % len(faces)
        + rows_before
        + (_binary_faces(faces, order) if read is _binary_rows else _text_faces(faces))
    )


def _binary_rows(body: bytes, before: list[_Element], strips: _Element, order: str) -> tuple[bytes, NDArray[np.int64]]:
    """Return the bytes of the elements before the strips, and the strips' points, a -1 after each row."""
    start = sum(element.count * _number(kind, order).itemsize for element in before for _, kind in element.properties)
    length, kind = (_number(name, order) for name in strips.properties[0])
    at, rows = start, []
    for _ in range(strips.count):
        (count,) = np.frombuffer(body, length, 1, at).tolist()
        at += length.itemsize
        if count < 0 or at + count * kind.itemsize > len(body):
            raise ValueError("its strips of triangles are cut short")
        rows += [np.frombuffer(body, kind, count, at).astype(np.int64), [-1]]
        at += count * kind.itemsize
    return body[:start], np.concatenate([*rows, [-1]])


def _text_rows(body: bytes, before: list[_Element], strips: _Element, _: str) -> tuple[bytes, NDArray[np.int64]]:
    """Return the same of a text file, with a line for each row."""
    lines = body.splitlines()
    start = sum(element.count for element in before)
    rows: list[int] = []
    for line in lines[start : start + strips.count]:
        count, *corners = (int(word) for word in line.split())
        if len(corners) < count:
            raise ValueError("its strips of triangles are cut short")
        rows += [*corners[:count], -1]
    return b"\n".join([*lines[:start], b""]), np.array([*rows, -1], np.int64)


def _number(name: bytes, order: str) -> np.dtype[np.generic]:
    return np.dtype(order + _NUMBERS[name])


def _binary_faces(faces: NDArray[np.int64], order: str) -> bytes:
    rows = np.zeros(len(faces), [("count", "u1"), ("points", f"{order}i4", 3)])
    rows["count"], rows["points"] = 3, faces
    return rows.tobytes()


def _text_faces(faces: NDArray[np.int64]) -> bytes:
    return b"".join(b"3 %d %d %d\n" % (a, b, c) for a, b, c in faces.tolist())
