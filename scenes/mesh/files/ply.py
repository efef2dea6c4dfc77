"""PLY (Turk 1994) checked and put in the form that the mesh library reads."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

from scenes.errors import InputError

from .limits import LEAST_BYTES_A_ROW, refuse_many
from .ply_strips import with_plain_faces

_LONGEST_HEADING: Final = 100_000
_ELEMENT: Final = re.compile(rb"^element\s+(\S+)\s+(\d{1,18})\s*$", re.MULTILINE)


def ply_content(path: Path) -> bytes:
    """Return the content of a PLY file, with colours by their usual names and faces in place of triangle strips.

    Raises
    ------
    InputError
        Where it announces too many faces, or more than the file has bytes for.
    """
    _refuse_announced(path)
    data = path.read_bytes()
    head = _heading(data)
    plain = re.sub(rb"\bdiffuse_(red|green|blue)\b", rb"\1", head) + data[len(head) :]
    return with_plain_faces(path, plain) if b"element tristrips" in head else plain


def _refuse_announced(path: Path) -> None:
    """Raise InputError where the heading of a PLY announces too many faces, or more than the file has bytes for."""
    with path.open("rb") as file:
        head = _heading(file.read(_LONGEST_HEADING))
    announced = {name: int(count) for name, count in _ELEMENT.findall(head)}
    size = path.stat().st_size
    if sum(announced.values()) * LEAST_BYTES_A_ROW > size:
        raise InputError(
            f"{path.name} announces {sum(announced.values())} points and faces in {size} bytes: "
            "it is cut short or broken, so export or copy it again"
        )
    refuse_many(path, announced.get(b"face", 0))


def _heading(data: bytes) -> bytes:
    return data[: data.find(b"end_header")] if b"end_header" in data[:_LONGEST_HEADING] else data[:0]
