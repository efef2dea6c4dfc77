"""Named arrays in a file that no damage changes unseen: nothing is parsed before its checksum was compared.

A file is three lines of text, then the bytes of the arrays one after the other, little-endian and in C order::

    spruelight arrays 1
    (SHA-256 of the next line)
    {"key": "image-0f3a", "arrays": {"even": {"dtype": "<f4", "shape": [12, 640, 480], "checksum": (of its bytes)}}}

The checksum of the header covers those of the arrays, and so the whole file. An array that is not asked for is not
read. Another array is another name; another layout is another first line.
"""

from __future__ import annotations

import hashlib
import json
import math
import os
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import IO, Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

MAGIC: Final = b"spruelight arrays 1\n"
LINE_LIMIT: Final = 2**16
"""Bytes of the longest line that is read."""


class DamagedError(ValueError):
    """A file is not the one that was written; the message ends the sentence "the file ..."."""


class Form(NamedTuple):
    """The type and the shape of an array."""

    dtype: str
    shape: tuple[int, ...]


def write_arrays(file: IO[bytes], key: str, arrays: Mapping[str, NDArray[Any]]) -> None:
    """Write numeric arrays under their names into an open file; `key` says what they are."""
    stored = {name: np.asarray(array, array.dtype.newbyteorder("<")) for name, array in arrays.items()}
    parts = {
        name: {"dtype": array.dtype.str, "shape": array.shape, "checksum": _checksum(_bytes(array))}
        for name, array in stored.items()
    }
    header = json.dumps({"key": key, "arrays": parts}).encode() + b"\n"
    file.writelines((MAGIC, _checksum(header).encode() + b"\n", header, *map(_bytes, stored.values())))


def read_arrays(file: IO[bytes], key: str, forms: Mapping[str, Form]) -> dict[str, NDArray[Any]]:
    """Return the arrays of an open file that `forms` names.

    Raises
    ------
    DamagedError
        Where the file is not what `write_arrays` wrote under `key`, lacks one of the arrays, or holds it in another
        type or shape.
    """
    parts = _read_header(file, key)
    start, size = file.tell(), file.seek(0, os.SEEK_END)
    ends = start + np.cumsum([0, *map(_size, parts.values())])
    if size != ends[-1]:
        raise DamagedError(f"has {size} bytes, not {ends[-1]}")
    starts = dict(zip(parts, ends[:-1].tolist(), strict=True))
    for name, form in forms.items():
        _check_form(name, parts, form)
    return {name: _read_array(file, starts[name], name, parts[name]) for name in forms}


def open_regular(path: Path) -> IO[bytes]:
    """Return a file opened to be read.

    Raises
    ------
    DamagedError
        Where something else is in its place, a pipe, say, which would be waited for.
    OSError
        Where it cannot be opened.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise DamagedError("is not a regular file")
    return path.open("rb")


def _read_header(file: IO[bytes], key: str) -> dict[str, Any]:
    """Return what the header says of each array, by name."""
    if file.readline(LINE_LIMIT) != MAGIC:
        raise DamagedError("does not begin as one of this version does")
    checksum, header = file.readline(LINE_LIMIT), file.readline(LINE_LIMIT)
    if checksum != _checksum(header).encode() + b"\n":
        raise DamagedError("has a header that does not fit its checksum")
    said = json.loads(header)
    if said["key"] != key:
        raise DamagedError(f"holds {said['key']}")
    parts: dict[str, Any] = said["arrays"]
    return parts


def _check_form(name: str, parts: Mapping[str, Any], wanted: Form) -> None:
    if name not in parts:
        raise DamagedError(f"lacks {name}")
    found = Form(parts[name]["dtype"], tuple(parts[name]["shape"]))
    if found != Form(np.dtype(wanted.dtype).newbyteorder("<").str, wanted.shape):
        raise DamagedError(f"holds {name} as {found.dtype} {found.shape}, not {wanted.dtype} {wanted.shape}")


def _read_array(file: IO[bytes], start: int, name: str, part: Mapping[str, Any]) -> NDArray[Any]:
    data = np.empty(_size(part), np.uint8)
    file.seek(start)
    file.readinto(data)  # type: ignore[attr-defined]  # of every binary file, but not of its type
    if _checksum(data.data) != part["checksum"]:
        raise DamagedError(f"has {name} that does not fit its checksum")
    array: NDArray[Any] = data.view(part["dtype"]).reshape(part["shape"])
    return array


def _size(part: Mapping[str, Any]) -> int:
    """Return the bytes that an array takes."""
    size: int = np.dtype(part["dtype"]).itemsize * math.prod(part["shape"])
    return size


def _bytes(array: NDArray[Any]) -> memoryview:
    """Return the bytes of an array in C order."""
    return np.ascontiguousarray(array).reshape(-1).view(np.uint8).data


def _checksum(data: bytes | memoryview) -> str:
    return hashlib.sha256(data).hexdigest()
