"""STL: binary, with a heading of 80 bytes, a count and 50 bytes a triangle, or text, which the mesh library reads."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np

from scenes.errors import InputError
from scenes.mesh.piece import Piece

from .encoding import in_utf8
from .limits import refuse_many

HEAD: Final = 84
ROW: Final = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def is_binary_stl(path: Path) -> bool:
    """Return whether an STL file is binary: of the size that it announces, or without "solid" and "facet" first."""
    with path.open("rb") as file:
        start = file.read(4096)
    if len(start) >= HEAD and path.stat().st_size == HEAD + ROW.itemsize * int.from_bytes(start[80:HEAD], "little"):
        return True
    start = start.lower()
    return not (start[:512].lstrip().startswith(b"solid") and b"facet" in start)


def read_binary_stl(path: Path) -> Piece:
    """Return the one piece of a binary STL file, no points shared between triangles.

    Raises
    ------
    InputError
        Where the file holds fewer triangles than it announces, or too many.
    """
    size = path.stat().st_size
    if size < HEAD:
        raise InputError(f"{path.name} holds {size} bytes, too few for an STL file: export or copy it again")
    with path.open("rb") as file:
        count = int.from_bytes(file.read(HEAD)[80:], "little")
        announced = HEAD + ROW.itemsize * count
        if size < announced:
            raise InputError(
                f"{path.name} holds {size} bytes where the {count} triangles it announces take {announced}: "
                "it is cut short or no STL file, so export or copy it again"
            )
        refuse_many(path, count)
        rows = np.memmap(file, ROW, "r", HEAD, count) if count else np.empty(0, ROW)
        corners = np.array(rows["corners"], dtype=np.float32).reshape(-1, 3)
    return Piece("model", corners, np.arange(3 * count, dtype=np.int64).reshape(-1, 3))


def stl_text(path: Path) -> bytes:
    """Return the text of an STL file that is not binary, in UTF-8.

    Raises
    ------
    InputError
        Where it is cut short or holds too many triangles.
    """
    data = path.read_bytes()
    refuse_many(path, data.count(b"endfacet"))
    if b"endsolid" not in data.lower():
        raise InputError(f"{path.name} ends before its 'endsolid': it is cut short, so export or copy it again")
    return in_utf8(data)
