"""Named arrays in a file in which any damage is detected: nothing is parsed before its checksum is verified.

A file is three lines of text, then the bytes of the arrays one after the other, little-endian and in C order::

    spruelight arrays 1
    (SHA-256 of the next line)
    {"key": "passes-0f3a", "about": {"title": "Diver"},
     "arrays": {"even": {"dtype": "<f4", "shape": [12, 640, 480], "checksum": (of its bytes)}}}

The header (one line) has the checksums of the arrays, so its own covers the whole file. Only the arrays asked for are
read. A change of layout must change the first line.
"""

from __future__ import annotations

import hashlib
import json
import math
import os
import stat
from collections.abc import Mapping
from itertools import accumulate
from pathlib import Path
from typing import IO, Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

MAGIC: Final = b"spruelight arrays 1\n"
LINE_LIMIT: Final = 2**16
"""Bytes of a line that are read at most."""


class DamagedError(ValueError):
    """A file is not the one that was written; the message ends the sentence "the file ..."."""


class ArraySpec(NamedTuple):
    """The data type and the shape of an array."""

    dtype: str
    shape: tuple[int, ...]


class Header(NamedTuple):
    """What a file says of itself: its key, notes about it (plain JSON), and its arrays by name.

    `start` is where in the file the bytes of the arrays begin. Each array has its `dtype`, `shape` and `checksum`.
    """

    key: str
    about: dict[str, Any]
    arrays: dict[str, dict[str, Any]]
    start: int


def write_arrays(
    file: IO[bytes], key: str, arrays: Mapping[str, NDArray[Any]], about: Mapping[str, object] | None = None
) -> None:
    """Write numeric arrays, by name, into an open file; `key` identifies its content, `about` is read by people.

    Raises
    ------
    ValueError
        If the header would be longer than is read.
    """
    stored = {name: np.asarray(array, array.dtype.newbyteorder("<")) for name, array in arrays.items()}
    entries = {
        name: {"dtype": array.dtype.str, "shape": array.shape, "checksum": _checksum(_bytes(array))}
        for name, array in stored.items()
    }
    header = json.dumps({"key": key, "about": dict(about or {}), "arrays": entries}).encode() + b"\n"
    if len(header) > LINE_LIMIT:
        raise ValueError(f"a header of {len(header)} bytes, not {LINE_LIMIT} at most")
    file.writelines((MAGIC, _checksum(header).encode() + b"\n", header, *map(_bytes, stored.values())))


def read_arrays(file: IO[bytes], key: str, specs: Mapping[str, ArraySpec]) -> dict[str, NDArray[Any]]:
    """Return the arrays of an open file that `specs` names.

    Raises
    ------
    DamagedError
        If the file is not what `write_arrays` wrote under `key`, lacks one of the arrays, or has it in another type or
        shape.
    """
    header = read_header(file)
    if header.key != key:
        raise DamagedError(f"holds {header.key}")
    starts = dict(zip(header.arrays, _ends(header)[:-1], strict=True))
    for name, spec in specs.items():
        _check_spec(name, header.arrays, spec)
    return {name: _read_array(file, starts[name], name, header.arrays[name]) for name in specs}


def read_header(file: IO[bytes]) -> Header:
    """Return the header of an open file, without reading its arrays.

    Raises
    ------
    DamagedError
        If the file is not what `write_arrays` wrote, or has another length.
    """
    if file.readline(LINE_LIMIT) != MAGIC:
        raise DamagedError("does not begin as one of this version does")
    checksum, line = file.readline(LINE_LIMIT), file.readline(LINE_LIMIT)
    if checksum != _checksum(line).encode() + b"\n":
        raise DamagedError("has a header that does not fit its checksum")
    content = json.loads(line)
    header = Header(content["key"], content.get("about", {}), content["arrays"], file.tell())
    size, end = file.seek(0, os.SEEK_END), _ends(header)[-1]
    if size != end:
        raise DamagedError(f"has {size} bytes, not {end}")
    return header


def open_regular(path: Path) -> IO[bytes]:
    """Return a file opened for reading.

    Raises
    ------
    DamagedError
        If it is not a regular file; opening a pipe would block.
    OSError
        If it cannot be opened.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise DamagedError("is not a regular file")
    return path.open("rb")


def _check_spec(name: str, entries: Mapping[str, Any], wanted: ArraySpec) -> None:
    if name not in entries:
        raise DamagedError(f"lacks {name}")
    found = ArraySpec(entries[name]["dtype"], tuple(entries[name]["shape"]))
    if found != ArraySpec(np.dtype(wanted.dtype).newbyteorder("<").str, wanted.shape):
        raise DamagedError(f"holds {name} as {found.dtype} {found.shape}, not {wanted.dtype} {wanted.shape}")


def _read_array(file: IO[bytes], start: int, name: str, entry: Mapping[str, Any]) -> NDArray[Any]:
    data = np.empty(_size(entry), np.uint8)
    file.seek(start)
    file.readinto(data)  # type: ignore[attr-defined]  # of every binary file, but not of its type
    if _checksum(data.data) != entry["checksum"]:
        raise DamagedError(f"has {name} that does not fit its checksum")
    array: NDArray[Any] = data.view(entry["dtype"]).reshape(entry["shape"])
    return array


def _ends(header: Header) -> list[int]:
    """Return where in the file the header and each of the arrays end."""
    return list(accumulate(map(_size, header.arrays.values()), initial=header.start))


def _size(entry: Mapping[str, Any]) -> int:
    """Return the size of an array in bytes."""
    size: int = np.dtype(entry["dtype"]).itemsize * math.prod(entry["shape"])
    return size


def _bytes(array: NDArray[Any]) -> memoryview:
    """Return the bytes of an array in C order."""
    return np.ascontiguousarray(array).reshape(-1).view(np.uint8).data


def _checksum(data: bytes | memoryview) -> str:
    return hashlib.sha256(data).hexdigest()
