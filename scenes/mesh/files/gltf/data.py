"""The JSON and the buffers of a glTF 2.0 file (ISO/IEC 12113:2022), every count checked against the bytes present."""

from __future__ import annotations

import base64
import json
import struct
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, NoReturn

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError
from scenes.mesh.files.folder import FolderResolver
from scenes.mesh.files.limits import LARGEST_BYTES

_NUMBERS: Final = {5120: "<i1", 5121: "<u1", 5122: "<i2", 5123: "<u2", 5125: "<u4", 5126: "<f4"}
FEW_VALUES: Final = 65_536
"""That an accessor may announce as zeros, without bytes of its own."""
_WIDTHS: Final = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4}


@dataclass
class Gltf:
    """An open file: its JSON, the binary chunk of a GLB, and the resolver of the files that it names."""

    path: Path
    tree: dict[str, Any]
    chunk: memoryview | None
    resolver: FolderResolver
    _buffers: dict[int, memoryview] = field(default_factory=dict)

    def entry(self, kind: str, number: Any) -> dict[str, Any]:
        """Return an accessor, a node or the like by its index; InputError where there is none."""
        listed = self.tree.get(kind, [])
        found = listed[number] if as_count(number) < len(listed) else None
        if not isinstance(found, dict):
            raise InputError(f"{self.path.name} has no number {number} among its {kind}: it is broken, export it again")
        return found

    def content(self, uri: str, most_bytes: int = LARGEST_BYTES) -> bytes:
        """Return the content of a data URI, or of a file in the folder of this one, of so many bytes at most."""
        if uri.startswith("data:"):
            return base64.b64decode(uri.partition(",")[2])
        return self.resolver.get(uri, most_bytes)

    def buffer(self, number: Any) -> memoryview:
        """Return the bytes of a buffer."""
        uri = self.entry("buffers", number).get("uri")
        if number not in self._buffers:
            content = memoryview(self.content(str(uri))) if uri is not None else self.chunk
            if content is None:
                raise InputError(f"{self.path.name} lacks the bytes of its shapes: it is cut short, export it again")
            self._buffers[number] = content
        return self._buffers[number]

    def view(self, number: Any) -> memoryview:
        """Return the bytes of a buffer view."""
        view = self.entry("bufferViews", number)
        buffer = self.buffer(view["buffer"])
        start, length = as_count(view.get("byteOffset", 0)), as_count(view["byteLength"])
        if start + length > len(buffer):
            raise InputError(
                f"{self.path.name} announces {start + length} bytes in a buffer of {len(buffer)}: "
                "it is cut short or broken, so export or copy it again"
            )
        return buffer[start : start + length]

    def values(self, number: Any) -> NDArray[Any]:
        """Return the values (count, 1 to 4) of an accessor, from -1 to 1 where they are normalized integers."""
        accessor = self.entry("accessors", number)
        found = self._stored_values(accessor)
        if found is None:
            found = np.zeros(*_layout(accessor))
        if "sparse" in accessor:
            found = self._with_sparse_values(found, accessor["sparse"])
        return normalized(found) if accessor.get("normalized") is True else found

    def count(self, number: Any) -> int:
        """Return the number of values of an accessor; InputError where the bytes are too few for them."""
        accessor = self.entry("accessors", number)
        self._stored_values(accessor)
        return _layout(accessor)[0][0]

    def _stored_values(self, accessor: dict[str, Any]) -> NDArray[Any] | None:
        """Return a view of the values of an accessor; None where it has no buffer view and is all zeros."""
        (count, width), kind = _layout(accessor)
        if "bufferView" in accessor:
            return self._rows(accessor, kind, width, count)
        if count > max(FEW_VALUES, size := self._sparse_bytes(accessor)):
            self._refuse_short(count, size)
        return None

    def _rows(self, accessor: dict[str, Any], kind: np.dtype[Any], width: int, count: int) -> NDArray[Any]:
        content, offset = self.view(accessor["bufferView"]), as_count(accessor.get("byteOffset", 0))
        row = kind.itemsize * width
        step = as_count(self.entry("bufferViews", accessor["bufferView"]).get("byteStride", row)) or row
        if count and offset + step * (count - 1) + row > len(content):
            self._refuse_short(count, len(content))
        return (
            np.ndarray((count, width), kind, content, offset, (step, kind.itemsize)) if count else np.zeros((0, width))
        )

    def _with_sparse_values(self, found: NDArray[Any], sparse: dict[str, Any]) -> NDArray[Any]:
        count, indices = as_count(sparse["count"]), sparse["indices"]
        places = self._rows(indices, np.dtype(_NUMBERS[indices["componentType"]]), 1, count)
        changed = np.array(found)
        changed[places[:, 0]] = self._rows(sparse["values"], found.dtype, found.shape[1], count)
        return changed

    def _sparse_bytes(self, accessor: dict[str, Any]) -> int:
        """Return the size of the buffer that holds the sparse values of an accessor without a view."""
        view = accessor.get("sparse", {}).get("indices", {}).get("bufferView")
        return 0 if view is None else len(self.buffer(self.entry("bufferViews", view)["buffer"]))

    def _refuse_short(self, count: int, size: int) -> NoReturn:
        raise InputError(f"{self.path.name} announces {count} values in {size} bytes: it is broken, so export it again")


def open_gltf(path: Path, resolver: FolderResolver) -> Gltf:
    """Return an open glTF or GLB file, its JSON parsed.

    Raises
    ------
    InputError
        Where its lengths or its JSON are wrong.
    """
    data = memoryview(path.read_bytes())
    text, chunk = _chunks(path, data) if bytes(data[:4]) == b"glTF" else (data, None)
    try:
        tree = json.loads(bytes(text))
    except (ValueError, RecursionError) as error:
        raise InputError(f"{path.name} is no whole glTF file ({error}): export or copy it again") from error
    if not isinstance(tree, dict):
        raise InputError(f"{path.name} is no whole glTF file (a {type(tree).__name__}): export or copy it again")
    return Gltf(path, tree, chunk, resolver)


def _layout(accessor: dict[str, Any]) -> tuple[tuple[int, int], np.dtype[Any]]:
    """Return the shape (count, width) and the type of number of an accessor."""
    return (as_count(accessor["count"]), _WIDTHS[accessor["type"]]), np.dtype(_NUMBERS[accessor["componentType"]])


def _chunks(path: Path, data: memoryview) -> tuple[memoryview, memoryview | None]:
    if len(data) < 20:
        raise InputError(f"{path.name} holds {len(data)} bytes, too few for a GLB file: export or copy it again")
    version, announced, first = struct.unpack_from("<III", data, 4)
    if version != 2:
        raise InputError(f"{path.name} is a GLB of version {version}, and 2 is read here: export it again")
    if announced > len(data) or 20 + first > announced:
        raise InputError(
            f"{path.name} holds {len(data)} bytes where it announces {announced}, {first} of them in its first chunk: "
            "it is cut short or broken, so export or copy it again"
        )
    rest = data[20 + first : announced]
    return data[20 : 20 + first], rest[8 : 8 + struct.unpack_from("<I", rest)[0]] if len(rest) >= 8 else None


def as_count(number: Any) -> int:
    """Return a value that is a count or an index; ValueError where it is not a whole number from 0 on."""
    if isinstance(number, bool) or not isinstance(number, int) or number < 0:
        raise ValueError(f"{number!r} is no count or index")
    return number


def normalized(values: NDArray[Any]) -> NDArray[Any]:
    """Return integers as fractions of the largest of their type, from -1 to 1 (glTF 2.0, 3.11); floats unchanged."""
    if values.dtype.kind not in "ui":
        return values
    return np.maximum(values / np.float32(np.iinfo(values.dtype).max), -1).astype(np.float32)
