"""OBJ (Wavefront) checked and put in the form that the mesh library reads."""

from __future__ import annotations

import re
from collections import Counter
from itertools import chain, pairwise
from pathlib import Path
from typing import Final

from scenes.errors import InputError

from .encoding import in_utf8
from .limits import refuse_many, refuse_many_pieces

_COLOURED: Final = re.compile(
    rb"^(v(?:[ \t]+[^\s]+){3})[ \t]+([^\s]+)[ \t]+([^\s]+)[ \t]+([^\s]+)[ \t\r]*$", re.MULTILINE
)
"""A point with a colour."""
_NEGATIVE: Final = re.compile(rb"^[ \t]*f[ \t][^\n]*-\d", re.MULTILINE)
"""A face with negative indices, which count from the last point."""
_PIECE: Final = re.compile(rb"^(o|g|usemtl)[ \t]+([^\n]*)", re.MULTILINE)
_INDEX_0: Final = re.compile(rb"^[ \t]*f[ \t](?:[^\n]*[ \t])?[+-]?0+(?:/|\s|$)", re.MULTILINE)


def obj_content(path: Path) -> bytes:
    """Return the text of an OBJ file in UTF-8, with colours from 0 to 1 and with positive indices.

    Raises
    ------
    InputError
        Where it holds too many triangles or pieces, or an index of 0.
    """
    data = path.read_bytes()
    refuse_many(path, data.count(b"\nf "))
    data = in_utf8(data)
    if _INDEX_0.search(data):
        raise InputError(f"{path.name} has a face on point 0, where points count from 1: export it again")
    refuse_many_pieces(path, _count_pieces(data))
    coloured = _COLOURED.findall(data, 0, 100_000)
    if any(float(value) > 1 for row in coloured for value in row[1:]):
        data = _COLOURED.sub(lambda row: b" ".join([row[1], *(b"%f" % (float(row[i]) / 255) for i in (2, 3, 4))]), data)
    if not _NEGATIVE.search(data):
        return data
    counts = Counter({b"v": 0, b"vt": 0, b"vn": 0})
    lines = data.replace(b"\\\n", b" ").splitlines()
    for number, line in enumerate(lines):
        words = line.split()
        if words and words[0] in counts:
            counts[words[0]] += 1
        elif words and words[0] == b"f":
            lines[number] = b" ".join([b"f", *(_positive(word, counts) for word in words[1:])])
    return b"\n".join(lines)


def _count_pieces(data: bytes) -> int:
    """Return the number of pieces with faces, by object, group and material; the library is slow with very many."""
    current: dict[bytes, bytes] = {}
    pieces = set()
    for found, after in pairwise(chain(_PIECE.finditer(data), [None])):
        assert found is not None
        current[found[1]] = found[2].strip()
        if data.find(b"\nf", found.end(), after.start() if after else len(data)) >= 0:
            pieces.add(tuple(current.items()))
    return len(pieces)


def _positive(corner: bytes, counts: Counter[bytes]) -> bytes:
    def positive(index: bytes, kind: bytes) -> bytes:
        return b"%d" % (counts[kind] + 1 + int(index)) if index.startswith(b"-") else index

    return b"/".join(
        positive(index, kind) for index, kind in zip(corner.split(b"/"), (b"v", b"vt", b"vn"), strict=False)
    )
