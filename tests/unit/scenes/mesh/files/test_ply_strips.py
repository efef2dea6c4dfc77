"""Triangle strips of PLY files become the faces that they stand for, all looking to one side."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from scenes.errors import InputError
from scenes.mesh.files.mesh import read_mesh_file
from scenes.mesh.triangles import strip_faces

POINTS = [(0, 0, 0), (1, 0, 0), (0, 1, 0), (1, 1, 0), (0, 2, 0), (1, 2, 0)]
ORDERS = {"binary_little_endian": "<", "binary_big_endian": ">"}


def ply(folder: Path, kind: str, strips: list[list[int]], *, rows: int | None = None, head: str = "") -> Path:
    """Write points with a colour each, then rows of strips, and a table after them."""
    heading = f"ply\nformat {kind} 1.0\ncomment a scan\nelement vertex 6\nproperty float x\nproperty float y\n"
    heading += f"property float z\nproperty uchar red\nproperty uchar green\nproperty uchar blue\n{head}"
    heading += f"element tristrips {len(strips) if rows is None else rows}\nproperty list int int vertex_indices\n"
    heading += "element camera 1\nproperty float view\nend_header\n"
    if kind == "ascii":
        body = "".join(f"{x} {y} {z} {40 * i} 0 0\n" for i, (x, y, z) in enumerate(POINTS))
        body += "".join(" ".join(map(str, [len(strip), *strip])) + "\n" for strip in strips)
        content = (heading + body + "1.5\n").encode()
    else:
        order = ORDERS[kind]
        content = heading.encode()
        content += b"".join(struct.pack(f"{order}3f3B", *point, 40 * i, 0, 0) for i, point in enumerate(POINTS))
        content += b"".join(struct.pack(f"{order}{len(strip) + 1}i", len(strip), *strip) for strip in strips)
        content += struct.pack(f"{order}f", 1.5)
    (folder / "scan.ply").write_bytes(content)
    return folder / "scan.ply"


@pytest.mark.parametrize("kind", ["ascii", *ORDERS])
@pytest.mark.parametrize(
    "strips",
    [[[0, 1, 2, 3, 4, 5]], [[0, 1, 2, 3, -1, 2, 3, 4, 5, -1]], [[0, 1, 2, 3], [2, 3, 4, 5]]],
    ids=["one strip", "parted by -1", "two rows"],
)
def test_strips_are_read_as_the_triangles_they_stand_for(tmp_path: Path, kind: str, strips: list[list[int]]) -> None:
    (piece,) = read_mesh_file(ply(tmp_path, kind, strips)).pieces
    a, b, c = np.asarray(piece.vertices)[piece.faces].transpose(1, 0, 2)
    np.testing.assert_allclose(np.cross(b - a, c - a), [[0, 0, 1]] * 4)
    middles = {tuple(row) for row in ((a + b + c) * 3).round().astype(int).tolist()}
    assert middles == {(3, 3, 0), (6, 6, 0), (3, 12, 0), (6, 15, 0)}
    assert piece.colour_map is not None  # the points keep their colours


@pytest.mark.parametrize(
    ("corners", "faces"),
    [
        ([], []),
        ([0, 1], []),
        ([0, 1, 2, 3], [[0, 1, 2], [1, 3, 2]]),
        ([9, -1, 0, 1, 2, 3, -1, -1, 4, 5, 6], [[0, 1, 2], [1, 3, 2], [4, 5, 6]]),
        ([0, 1, 2, 2, 3, 3, 4, 5], [[0, 1, 2], [3, 5, 4]]),
    ],
    ids=["nothing", "two corners", "one", "parted", "stitched"],
)
def test_faces_of_strips(corners: list[int], faces: list[list[int]]) -> None:
    found: NDArray[np.int64] = strip_faces(np.array(corners, np.int64))
    assert found.shape == (len(faces), 3)
    assert found.tolist() == faces


@pytest.mark.parametrize("kind", ["ascii", *ORDERS])
def test_strips_cut_short_are_refused(tmp_path: Path, kind: str) -> None:
    path = ply(tmp_path, kind, [[0, 1, 2, 3, 4, 5]])
    path.write_bytes(path.read_bytes()[: -9 if kind == "ascii" else -8])
    with pytest.raises(InputError, match="its strips of triangles are cut short"):
        read_mesh_file(path)


def test_strips_behind_other_lists_are_refused(tmp_path: Path) -> None:
    path = ply(tmp_path, "ascii", [[0, 1, 2]], head="element face 1\nproperty list uchar int vertex_indices\n")
    with pytest.raises(InputError, match="after other lists: export plain triangles"):
        read_mesh_file(path)


def test_too_many_triangles_in_strips_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("scenes.mesh.files.limits.MOST_TRIANGLES", 3)
    with pytest.raises(InputError, match="more than the 3 that are read"):
        read_mesh_file(ply(tmp_path, "ascii", [[0, 1, 2, 3, 4, 5]]))
