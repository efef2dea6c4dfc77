"""Named meshes written into the one small file that `scenes.builtin.packing` unpacks."""

from __future__ import annotations

import io
import lzma
from collections.abc import Iterable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from scenes.builtin.packing import STEP_CM
from scenes.mesh.triangles import areas

Steps = NDArray[np.int64]
# stated in full so that the bytes do not hang on a library's default
_FILTERS = [{"id": lzma.FILTER_LZMA2, "dict_size": 1 << 24, "lc": 3, "lp": 0, "pb": 0, "nice_len": 273}]


def quantised(vertices: NDArray[np.float64], faces: NDArray[np.int64]) -> tuple[Steps, Steps]:
    """Return whole steps and faces, vertices in order of first use, collapsed faces left out."""
    steps = np.rint(vertices / STEP_CM).astype(np.int64)
    faces = faces[areas(steps, faces) > 0]
    used, first, inverse = np.unique(faces.ravel(), return_index=True, return_inverse=True)
    order = np.argsort(first, kind="stable")
    rank = np.empty(len(order), np.int64)
    rank[order] = np.arange(len(order))
    return steps[used[order]], rank[inverse].reshape(-1, 3)


def pack(parts: Iterable[tuple[str, NDArray[np.float64], NDArray[np.int64]]], path: Path) -> None:
    """Write the parts to ``path``; equal parts give equal bytes."""
    names, counts, streams = [], [], []
    for name, vertices, faces in parts:
        steps, numbered = quantised(vertices, faces)
        names.append(name)
        counts.append((len(steps), len(numbered)))
        streams += [np.diff(steps, axis=0, prepend=0).T.ravel(), _below_newest(numbered)]
    data = _planes(np.concatenate(streams).astype("<i4"))
    packed = lzma.compress(data, format=lzma.FORMAT_XZ, filters=_FILTERS)
    held = io.BytesIO()
    np.savez(held, names=np.array(names), counts=np.array(counts), data=np.frombuffer(packed, np.uint8))
    path.write_bytes(held.getvalue())


def _below_newest(faces: Steps) -> Steps:
    """Return each vertex number as its distance below the next unused one: small, and 0 for a new vertex."""
    flat = faces.ravel()
    newest = np.maximum.accumulate(np.concatenate([[-1], flat]))[:-1] + 1
    return np.asarray(newest - flat)


def _planes(numbers: NDArray[np.int32]) -> bytes:
    """Return the numbers byte by byte, all lowest bytes first: they compress far better apart."""
    return np.ascontiguousarray(numbers.view(np.uint8).reshape(-1, 4).T).tobytes()
