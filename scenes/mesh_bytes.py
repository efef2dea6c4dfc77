"""Mesh files looked at before they are read: what is cut short or announces too much is told in a sentence."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from .errors import InputError

LEAST_BYTES_A_ROW: Final = 2
"""Of a point or a face in any file of rows."""


def checked(path: Path, kind: str, data: bytes) -> bytes:
    """Return the content of a mesh file of a kind as it can be given to a reader.

    Raises
    ------
    InputError
        Where it cannot be whole.
    """
    return _CHECKS[kind](path, data) if kind in _CHECKS else data


def _ascii_stl(path: Path, data: bytes) -> bytes:
    if b"endsolid" not in data.lower():
        raise InputError(f"{path.name} ends before its 'endsolid': it is cut short, so export or copy it again")
    return data


def _obj_content(_path: Path, data: bytes) -> bytes:
    """Return the text with face indices that count backwards made to count from the start."""
    if not re.search(rb"^\s*f\s[^\n]*-\d", data, re.MULTILINE):
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


def _absolute(corner: bytes, counts: Counter[bytes]) -> bytes:
    def one(index: bytes, of: bytes) -> bytes:
        return b"%d" % (counts[of] + 1 + int(index)) if index.startswith(b"-") else index

    return b"/".join(one(index, of) for index, of in zip(corner.split(b"/"), (b"v", b"vt", b"vn"), strict=False))


def _gltf_content(path: Path, data: bytes) -> bytes:
    text = data
    if data[:4] == b"glTF":
        told, chunk = (int.from_bytes(data[i : i + 4], "little") for i in (8, 12))
        if told > len(data) or 20 + chunk > told:
            raise InputError(
                f"{path.name} holds {len(data)} bytes where it announces {told}, {chunk} of them in its first chunk: "
                "it is cut short or broken, so export or copy it again"
            )
        text = data[20 : 20 + chunk]
    try:
        content = json.loads(text)
        required = content.get("extensionsRequired", [])
        counts = [accessor["count"] for accessor in content.get("accessors", [])]
    except (ValueError, AttributeError, KeyError, TypeError, RecursionError) as error:
        raise InputError(f"{path.name} is no whole glTF file ({error}): export or copy it again") from error
    if "EXT_meshopt_compression" in required:
        raise InputError(f"{path.name} is compressed (EXT_meshopt_compression): export it without that compression")
    held = sum(buffer.get("byteLength", 0) for buffer in content.get("buffers", [])) if "buffers" in content else 0
    most = max([0, *(count for count in counts if isinstance(count, int))])
    if "KHR_draco_mesh_compression" not in required and most > held:
        raise InputError(f"{path.name} announces {most} values in {held} bytes: it is broken, so export it again")
    _refuse_rings(path, content.get("nodes", []))
    return data


def _refuse_rings(path: Path, nodes: Any) -> None:
    """Refuse nodes that hang below themselves, or below two others: a scene is a tree (glTF 2.0, 3.5.3)."""
    hung: set[int] = set()
    for node in nodes:
        for child in node.get("children", []):
            if child in hung or not 0 <= child < len(nodes):
                raise InputError(f"{path.name}: its node {child} hangs in two places or in none: export it again")
            hung.add(child)
    if nodes and len(hung) == len(nodes):
        raise InputError(f"{path.name}: its nodes hang below one another in a ring: export it again")


def _ply_content(path: Path, data: bytes) -> bytes:
    """Refuse counts that the file is too short for."""
    head = data[: data.find(b"end_header")] if b"end_header" in data[:100_000] else data[:0]
    told = [int(word) for word in re.findall(rb"^element\s+\S+\s+(\d{1,18})\s*$", head, re.MULTILINE)]
    if sum(told) * LEAST_BYTES_A_ROW > len(data):
        raise InputError(
            f"{path.name} announces {sum(told)} points and faces in {len(data)} bytes: "
            "it is cut short or broken, so export or copy it again"
        )
    return data


def _off_content(path: Path, data: bytes) -> bytes:
    words = re.sub(rb"#[^\n]*", b"", data).partition(b"OFF")[2]
    lines = [line for line in words.splitlines() if line.strip()]
    counts = lines[0].split()[:2] if lines else []
    if len(counts) == 2 and all(word.isdigit() for word in counts):
        announced = sum(int(word) for word in counts)
        if len(lines) - 1 < announced:
            raise InputError(
                f"{path.name} holds {len(lines) - 1} of the {announced} lines that it announces: "
                "it is cut short, so export or copy it again"
            )
    return data


_CHECKS: dict[str, Callable[[Path, bytes], bytes]] = {
    "stl": _ascii_stl,
    "obj": _obj_content,
    "glb": _gltf_content,
    "gltf": _gltf_content,
    "off": _off_content,
    "ply": _ply_content,
}
