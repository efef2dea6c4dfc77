"""Named meshes out of one small compressed file: vertices in steps of 2 µm, differences instead of values."""

from __future__ import annotations

import lzma
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

STEP_CM = 2e-4
Part = tuple[str, NDArray[np.float32], NDArray[np.int32]]


def unpack(path: Path) -> list[Part]:
    """Return the parts as (name, vertices in cm, faces).

    Raises
    ------
    OSError
        The file cannot be read.
    """
    with np.load(path, allow_pickle=False) as archive:
        names, counts = archive["names"].tolist(), archive["counts"].tolist()
        raw = np.frombuffer(lzma.decompress(archive["data"].tobytes()), np.uint8)
    numbers = np.ascontiguousarray(raw.reshape(4, -1).T).view("<i4").ravel()
    parts: list[Part] = []
    at = 0
    for name, (points, triangles) in zip(names, counts, strict=True):
        moves = numbers[at : at + 3 * points].reshape(3, points).T
        at += 3 * points
        faces = _from_newest(numbers[at : at + 3 * triangles])
        at += 3 * triangles
        vertices = np.cumsum(moves, axis=0, dtype=np.int64) * STEP_CM
        parts.append((name, vertices.astype(np.float32), faces))
    return parts


def _from_newest(codes: NDArray[np.int32]) -> NDArray[np.int32]:
    """Return faces (n, 3) of vertices given by their distance below the next unused number: 0 is a new vertex."""
    newest = np.cumsum(codes == 0) - (codes == 0)
    return np.asarray((newest - codes).reshape(-1, 3), np.int32)
