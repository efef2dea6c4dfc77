"""Limits of a glTF scene, counted from its JSON before any values are read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any, Final

from scenes.mesh.files.limits import MOST_A_BYTE, refuse_many, refuse_many_pieces

from .data import Gltf, as_count

DRACO: Final = "KHR_draco_mesh_compression"
TRIANGLES, STRIP, FAN = 4, 5, 6
"""Modes of primitives; the others are points and lines."""


def refuse_many_placed(gltf: Gltf, mesh_indices: Sequence[Any]) -> None:
    """Raise InputError where the meshes of all nodes, by index, have too many triangles or pieces together.

    The triangles of each index accessor count as stored once, and no more than the bytes of its buffer can hold.
    """
    triangles, pieces = 0, 0
    stored: dict[int, int] = {}
    buffers: dict[int, int] = {}
    for number, times in Counter(mesh_indices).items():
        for primitive in _primitives(gltf, number):
            corner_accessor = primitive.get("indices", primitive["attributes"].get("POSITION"))
            accessor = gltf.entry("accessors", corner_accessor)
            packed = primitive.get("extensions", {}).get(DRACO)
            corners = gltf.count(corner_accessor) if packed is None else as_count(accessor["count"])
            stored[corner_accessor] = _triangles(primitive, corners)
            triangles += times * stored[corner_accessor]
            pieces += times
            view = (packed or accessor).get("bufferView")
            if view is not None:
                buffer = gltf.entry("bufferViews", view)["buffer"]
                buffers[buffer] = len(gltf.buffer(buffer))
    refuse_many_pieces(gltf.path, pieces)
    refuse_many(gltf.path, triangles, min(sum(stored.values()), MOST_A_BYTE * sum(buffers.values())))


def _primitives(gltf: Gltf, mesh: Any) -> Iterator[dict[str, Any]]:
    for primitive in gltf.entry("meshes", mesh)["primitives"]:
        if primitive.get("mode", TRIANGLES) in (TRIANGLES, STRIP, FAN) and "POSITION" in primitive["attributes"]:
            yield primitive


def _triangles(primitive: dict[str, Any], corners: int) -> int:
    return corners // 3 if primitive.get("mode", TRIANGLES) == TRIANGLES else max(0, corners - 2)
