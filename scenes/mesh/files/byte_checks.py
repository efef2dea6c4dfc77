"""Mesh files looked at before the library reads them: what is cut short or holds too much is told in a sentence."""

from __future__ import annotations

import codecs
import re
from collections import Counter
from collections.abc import Callable
from itertools import chain, pairwise
from pathlib import Path
from typing import Final

from scenes.errors import InputError

from .limits import refuse_many, refuse_many_pieces
from .ply_strips import with_plain_faces

LEAST_BYTES_A_ROW: Final = 2
"""Of a point or a face in any file of rows."""
_LONGEST_HEADING: Final = 100_000
_ELEMENT: Final = re.compile(rb"^element\s+(\S+)\s+(\d{1,18})\s*$", re.MULTILINE)
_COLOURED: Final = re.compile(
    rb"^(v(?:[ \t]+[^\s]+){3})[ \t]+([^\s]+)[ \t]+([^\s]+)[ \t]+([^\s]+)[ \t\r]*$", re.MULTILINE
)
"""A point of an OBJ file with a colour."""
_BACKWARDS: Final = re.compile(rb"^[ \t]*f[ \t][^\n]*-\d", re.MULTILINE)
"""A face whose points are counted from the last, with a minus."""
_PIECE: Final = re.compile(rb"^(o|g|usemtl)[ \t]+([^\n]*)", re.MULTILINE)
_FROM_NOUGHT: Final = re.compile(rb"^[ \t]*f[ \t](?:[^\n]*[ \t])?[+-]?0+(?:/|\s|$)", re.MULTILINE)


def content(path: Path, kind: str) -> bytes:
    """Return the content of an OBJ, PLY or ascii STL file as it can be given to the library.

    Raises
    ------
    InputError
        Where it cannot be whole, or holds too many triangles.
    """
    if kind == "ply":
        _refuse_announced(path)
    return _CHECKS[kind](path, path.read_bytes())


def in_utf8(data: bytes) -> bytes:
    """Return words without a byte-order mark and in UTF-8: those of other programs are taken to be Windows-1252."""
    try:
        data.decode()
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace").encode()
    return data.removeprefix(codecs.BOM_UTF8)


def _ascii_stl(path: Path, data: bytes) -> bytes:
    refuse_many(path, data.count(b"endfacet"))
    if b"endsolid" not in data.lower():
        raise InputError(f"{path.name} ends before its 'endsolid': it is cut short, so export or copy it again")
    return in_utf8(data)


def _obj_content(path: Path, data: bytes) -> bytes:
    """Return the text with colours from 0 to 1, and face indices that count backwards made to count from the start."""
    refuse_many(path, data.count(b"\nf "))
    data = in_utf8(data)
    if _FROM_NOUGHT.search(data):
        raise InputError(f"{path.name} has a face on point 0, where points count from 1: export it again")
    refuse_many_pieces(path, _count_pieces(data))
    coloured = _COLOURED.findall(data, 0, 100_000)
    if any(float(value) > 1 for row in coloured for value in row[1:]):
        data = _COLOURED.sub(lambda row: b" ".join([row[1], *(b"%f" % (float(row[i]) / 255) for i in (2, 3, 4))]), data)
    if not _BACKWARDS.search(data):
        return data
    counts = Counter({b"v": 0, b"vt": 0, b"vn": 0})
    lines = data.replace(b"\\\n", b" ").splitlines()
    for number, line in enumerate(lines):
        words = line.split()
        if words and words[0] in counts:
            counts[words[0]] += 1
        elif words and words[0] == b"f":
            lines[number] = b" ".join([b"f", *(_absolute(word, counts) for word in words[1:])])
    return b"\n".join(lines)


def _count_pieces(data: bytes) -> int:
    """Return how many pieces have faces, by object, group and material; the library is slow with very many."""
    current: dict[bytes, bytes] = {}
    pieces = set()
    for found, after in pairwise(chain(_PIECE.finditer(data), [None])):
        assert found is not None
        current[found[1]] = found[2].strip()
        if data.find(b"\nf", found.end(), after.start() if after else len(data)) >= 0:
            pieces.add(tuple(current.items()))
    return len(pieces)


def _absolute(corner: bytes, counts: Counter[bytes]) -> bytes:
    def one(index: bytes, of: bytes) -> bytes:
        return b"%d" % (counts[of] + 1 + int(index)) if index.startswith(b"-") else index

    return b"/".join(one(index, of) for index, of in zip(corner.split(b"/"), (b"v", b"vt", b"vn"), strict=False))


def _refuse_announced(path: Path) -> None:
    """Raise InputError where the heading of a PLY announces too many faces, or more than the file has bytes for."""
    with path.open("rb") as file:
        head = _ply_heading(file.read(_LONGEST_HEADING))
    told = {name: int(count) for name, count in _ELEMENT.findall(head)}
    size = path.stat().st_size
    if sum(told.values()) * LEAST_BYTES_A_ROW > size:
        raise InputError(
            f"{path.name} announces {sum(told.values())} points and faces in {size} bytes: "
            "it is cut short or broken, so export or copy it again"
        )
    refuse_many(path, told.get(b"face", 0))


def _ply_content(path: Path, data: bytes) -> bytes:
    """Return the content with colours by their usual names and strips of triangles made into faces."""
    head = _ply_heading(data)
    plain = re.sub(rb"\bdiffuse_(red|green|blue)\b", rb"\1", head) + data[len(head) :]
    return with_plain_faces(path, plain) if b"element tristrips" in head else plain


def _ply_heading(data: bytes) -> bytes:
    return data[: data.find(b"end_header")] if b"end_header" in data[:_LONGEST_HEADING] else data[:0]


_CHECKS: dict[str, Callable[[Path, bytes], bytes]] = {
    "stl": _ascii_stl,
    "obj": _obj_content,
    "ply": _ply_content,
}
