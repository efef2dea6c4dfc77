"""The JSON and the buffers of a glTF 2.0 file (ISO/IEC 12113:2022): every count is held against the bytes there are."""

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
"""Which any file may announce without bytes of their own, as noughts."""
_WIDTHS: Final = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4}


@dataclass
class Gltf:
    """An opened file: its JSON, the binary chunk of a GLB, and what reads the files that it names."""

    path: Path
    tree: dict[str, Any]
    chunk: memoryview | None
    resolver: FolderResolver
    _buffers: dict[int, memoryview] = field(default_factory=dict)

    def entry(self, kind: str, number: Any) -> dict[str, Any]:
        """Return one of the file's accessors, nodes or the like; InputError where it has no such one."""
        listed = self.tree.get(kind, [])
        found = listed[number] if whole(number) < len(listed) else None
        if not isinstance(found, dict):
            raise InputError(f"{self.path.name} has no number {number} among its {kind}: it is broken, export it again")
        return found

    def content(self, uri: str, most_bytes: int = LARGEST_BYTES) -> bytes:
        """Return what a data URI holds, or a file of that name beside this one, of so many bytes at most."""
        if uri.startswith("data:"):
            return base64.b64decode(uri.partition(",")[2])
        return self.resolver.get(uri, most_bytes)

    def buffer(self, number: Any) -> memoryview:
        """Return the bytes of a buffer."""
        told = self.entry("buffers", number)
        if number not in self._buffers:
            uri = told.get("uri")
            held = memoryview(self.content(str(uri))) if uri is not None else self.chunk
            if held is None:
                raise InputError(f"{self.path.name} lacks the bytes of its shapes: it is cut short, export it again")
            self._buffers[number] = held
        return self._buffers[number]

    def view(self, number: Any) -> memoryview:
        """Return the bytes of a buffer view."""
        told = self.entry("bufferViews", number)
        buffer = self.buffer(told["buffer"])
        start, length = whole(told.get("byteOffset", 0)), whole(told["byteLength"])
        if start + length > len(buffer):
            raise InputError(
                f"{self.path.name} announces {start + length} bytes in a buffer of {len(buffer)}: "
                "it is cut short or broken, so export or copy it again"
            )
        return buffer[start : start + length]

    def values(self, number: Any) -> NDArray[Any]:
        """Return the numbers (count, 1 to 4) of an accessor as they stand, or from -1 to 1 where it says normalized."""
        told = self.entry("accessors", number)
        found = self._stored(told)
        if found is None:
            found = np.zeros(*_form(told))
        if "sparse" in told:
            found = self._replaced(found, told["sparse"])
        return fractions(found) if told.get("normalized") is True else found

    def count(self, number: Any) -> int:
        """Return how many values an accessor has; InputError where there are too few bytes for them."""
        told = self.entry("accessors", number)
        self._stored(told)
        return _form(told)[0][0]

    def _stored(self, told: dict[str, Any]) -> NDArray[Any] | None:
        """Return the bytes of an accessor as numbers, without a copy; none where it has no bytes but is of noughts."""
        (count, width), kind = _form(told)
        if "bufferView" in told:
            return self._rows(told, kind, width, count)
        if count > max(FEW_VALUES, held := self._bytes_of_changes(told)):
            self._refuse(count, held)
        return None

    def _rows(self, told: dict[str, Any], kind: np.dtype[Any], width: int, count: int) -> NDArray[Any]:
        held, offset = self.view(told["bufferView"]), whole(told.get("byteOffset", 0))
        row = kind.itemsize * width
        step = whole(self.entry("bufferViews", told["bufferView"]).get("byteStride", row)) or row
        if count and offset + step * (count - 1) + row > len(held):
            self._refuse(count, len(held))
        return np.ndarray((count, width), kind, held, offset, (step, kind.itemsize)) if count else np.zeros((0, width))

    def _replaced(self, found: NDArray[Any], sparse: dict[str, Any]) -> NDArray[Any]:
        count, places = whole(sparse["count"]), sparse["indices"]
        where = self._rows(places, np.dtype(_NUMBERS[places["componentType"]]), 1, count)
        changed = np.array(found)
        changed[where[:, 0]] = self._rows(sparse["values"], found.dtype, found.shape[1], count)
        return changed

    def _bytes_of_changes(self, told: dict[str, Any]) -> int:
        """Return the length of the buffer that an accessor of noughts takes its other values from."""
        view = told.get("sparse", {}).get("indices", {}).get("bufferView")
        return 0 if view is None else len(self.buffer(self.entry("bufferViews", view)["buffer"]))

    def _refuse(self, count: int, held: int) -> NoReturn:
        raise InputError(f"{self.path.name} announces {count} values in {held} bytes: it is broken, so export it again")


def opened(path: Path, resolver: FolderResolver) -> Gltf:
    """Return a glTF or GLB file whose JSON was read.

    Raises
    ------
    InputError
        Where its lengths are wrong, or its JSON is.
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


def _form(told: dict[str, Any]) -> tuple[tuple[int, int], np.dtype[Any]]:
    """Return the count and width, and the kind of number, that an accessor announces."""
    return (whole(told["count"]), _WIDTHS[told["type"]]), np.dtype(_NUMBERS[told["componentType"]])


def _chunks(path: Path, data: memoryview) -> tuple[memoryview, memoryview | None]:
    if len(data) < 20:
        raise InputError(f"{path.name} holds {len(data)} bytes, too few for a GLB file: export or copy it again")
    version, told, first = struct.unpack_from("<III", data, 4)
    if version != 2:
        raise InputError(f"{path.name} is a GLB of version {version}, and 2 is read here: export it again")
    if told > len(data) or 20 + first > told:
        raise InputError(
            f"{path.name} holds {len(data)} bytes where it announces {told}, {first} of them in its first chunk: "
            "it is cut short or broken, so export or copy it again"
        )
    rest = data[20 + first : told]
    return data[20 : 20 + first], rest[8 : 8 + struct.unpack_from("<I", rest)[0]] if len(rest) >= 8 else None


def whole(number: Any) -> int:
    """Return a number that counts; ValueError where it is none."""
    if isinstance(number, bool) or not isinstance(number, int) or number < 0:
        raise ValueError(f"{number!r} stands where a number that counts should")
    return number


def fractions(values: NDArray[Any]) -> NDArray[Any]:
    """Return whole numbers as fractions of the largest of their kind, from -1 to 1 (glTF 2.0, 3.11); others as is."""
    if values.dtype.kind not in "ui":
        return values
    return np.maximum(values / np.float32(np.iinfo(values.dtype).max), -1).astype(np.float32)
