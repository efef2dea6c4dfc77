"""OFF, the Object File Format of Geomview (after its manual): points and polygons, with colours."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError
from scenes.mesh.colouring import Colouring, corner_colouring
from scenes.mesh.piece import Piece

from .encoding import in_utf8
from .limits import LEAST_BYTES_A_ROW, refuse_many

_HEADING: Final = re.compile(r"\s*(ST)?(C)?(N)?(4)?(n)?OFF\b")
_COUNTS: Final = re.compile(r"OFF\s+(\d{1,18})\s+(\d{1,18})\s")
_HEAD_BYTES: Final = 4096
_GREY: Final = (128, 128, 128)
"""Of faces without a colour where others have one."""


def read_off(path: Path) -> Piece:
    """Return the one piece of an OFF file, its polygons cut into fans of triangles.

    Raises
    ------
    InputError
        Where it is binary or of other dimensions, shorter than it announces, or announces too much.
    """
    _refuse_announced(path)
    text = re.sub(r"#[^\n]*", "", in_utf8(path.read_bytes()).decode())
    heading = _HEADING.match(text)
    if heading is None or heading[4] or heading[5] or "\0" in text or text[heading.end() :].lstrip()[:6] == "BINARY":
        raise InputError(f"{path.name} is no OFF file in words of three dimensions: export it again as PLY or STL")
    lines = [line for line in text[heading.end() :].splitlines() if line.strip()]
    counts = [int(word) for word in lines[0].split()[:2]] if lines else []
    if len(counts) < 2 or min(counts) < 0 or len(lines) - 1 < sum(counts):
        raise InputError(
            f"{path.name} holds {max(0, len(lines) - 1)} of the {sum(counts)} lines that it announces: "
            "it is cut short, so export or copy it again"
        )
    points, count = counts
    rows = np.array(" ".join(lines[1 : points + 1]).split(), np.float64).reshape(points, -1 if points else 3)
    faces, owner, colour_words = _triangles(path, [line.split() for line in lines[points + 1 : points + count + 1]])
    colouring = _colouring(faces, owner, colour_words, _point_colours(rows, heading, " ".join(lines[1:2]).split()))
    return Piece("model", rows[:, :3], faces, colouring.colour, colouring.colour_map)


def _refuse_announced(path: Path) -> None:
    """Raise InputError where the header announces too much, or more than the file has bytes for."""
    with path.open("rb") as file:
        start = re.sub(r"#[^\n]*", "", file.read(_HEAD_BYTES).decode("latin-1"))
    counts = _COUNTS.search(start)
    if counts is None:
        return
    lines, size = int(counts[1]) + int(counts[2]), path.stat().st_size
    if lines * LEAST_BYTES_A_ROW > size:
        raise InputError(
            f"{path.name} holds {size} bytes, too few for all of the {lines} lines that it announces: "
            "it is cut short, so export or copy it again"
        )
    refuse_many(path, int(counts[2]))


def _triangles(path: Path, rows: list[list[str]]) -> tuple[NDArray[np.int64], NDArray[np.int64], list[list[str]]]:
    """Return triangles (m, 3), the index of each one's polygon (m,), and the words after the points of each polygon."""
    sizes = [int(row[0]) for row in rows]
    refuse_many(path, sum(max(0, size - 2) for size in sizes))
    if set(sizes) == {3}:
        faces = np.array([row[1:4] for row in rows]).astype(np.int64)
        return faces, np.arange(len(rows)), [row[4:] for row in rows]
    cut, owner = [], []
    for number, (size, row) in enumerate(zip(sizes, rows, strict=True)):
        corners = [int(word) for word in row[1 : size + 1]]
        if len(corners) != size:
            raise ValueError(f"polygon {number + 1} has fewer points than it announces")
        cut += [(corners[0], corners[i], corners[i + 1]) for i in range(1, size - 1)]
        owner += [number] * max(0, size - 2)
    colour_words = [row[size + 1 :] for size, row in zip(sizes, rows, strict=True)]
    return np.array(cut, np.int64).reshape(-1, 3), np.array(owner, np.int64), colour_words


def _point_colours(rows: NDArray[np.float64], heading: re.Match[str], first: list[str]) -> NDArray[np.float64] | None:
    """Return the colours of points (n, 3), 0 to 1, None where the header announces none."""
    start = 6 if heading[3] else 3  # after a normal
    if not heading[2] or rows.shape[1] < start + 3:
        return None
    is_integer = not any("." in word for word in first[start : start + 3])
    return np.clip(rows[:, start : start + 3] / (255 if is_integer else 1), 0, 1)


def _colouring(
    faces: NDArray[np.int64],
    owner: NDArray[np.int64],
    colour_words: list[list[str]],
    at_points: NDArray[np.float64] | None,
) -> Colouring:
    """Return the colouring by the colours of polygons, else of points."""
    if len(faces) and any(len(words) >= 3 for words in colour_words):
        seen = np.array([_bytes(words) for words in colour_words], np.uint8)
        return corner_colouring(np.repeat(seen[owner][:, None], 3, axis=1))
    return Colouring() if at_points is None or not len(faces) else corner_colouring(at_points[faces])


def _bytes(words: list[str]) -> tuple[int, ...]:
    """Return a colour in bytes: written as integers to 255, or as decimals to 1."""
    if len(words) < 3:
        return _GREY
    scale = 255 if any("." in word for word in words[:3]) else 1
    return tuple(min(255, max(0, round(float(word) * scale))) for word in words[:3])
