"""Mesh files that hold or put up too much: refused in a sentence, soon, with little memory, whatever their format."""

from __future__ import annotations

import base64
import json
import subprocess
import sys
import tracemalloc
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from PIL import Image

from scenes.errors import InputError
from scenes.mesh.files.mesh import read_mesh_file

BOX = trimesh.creation.box((1, 2, 3))
FEWEST_TOO_MANY = 50_000_001
KINDS = ["stl", "obj", "ply", "glb", "gltf", "3mf", "off"]


def refusal(path: Path) -> str:
    """Return the sentence with which a file is refused, that took less than 10 MB to find."""
    tracemalloc.start()
    with pytest.raises(InputError) as caught:
        read_mesh_file(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 10e6
    return str(caught.value)


def box(folder: Path, kind: str) -> Path:
    made = BOX.export(file_type=kind, **({"embed_buffers": True} if kind == "gltf" else {}))
    data = made["model.gltf"] if isinstance(made, dict) else made
    (folder / f"box.{kind}").write_bytes(data.encode() if isinstance(data, str) else data)
    return folder / f"box.{kind}"


@pytest.mark.parametrize("kind", KINDS)
def test_too_many_triangles_are_refused_in_every_format(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    path = box(tmp_path, kind)
    assert len(read_mesh_file(path).pieces[0].faces) == 12
    monkeypatch.setattr("scenes.mesh.files.limits.MOST_TRIANGLES", 11)
    assert "holds 12 triangles, more than the 11 that are read: simplify the mesh first" in refusal(path)


def test_too_many_triangles_are_refused_in_an_stl_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "box.stl").write_text(BOX.export(file_type="stl_ascii"))
    monkeypatch.setattr("scenes.mesh.files.limits.MOST_TRIANGLES", 11)
    assert "holds 12 triangles" in refusal(tmp_path / "box.stl")


@pytest.mark.parametrize(
    ("name", "heading"),
    [
        ("a.stl", bytes(80) + FEWEST_TOO_MANY.to_bytes(4, "little")),
        ("a.ply", b"ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nelement face 50000001\n"
         b"property list uchar int vertex_indices\nend_header\n"),
        ("a.off", b"OFF # many\n3 50000001 0\n"),
    ],
)  # fmt: skip
def test_more_triangles_than_are_read_are_refused_by_the_heading(tmp_path: Path, name: str, heading: bytes) -> None:
    with (tmp_path / name).open("wb") as file:
        file.write(heading)
        file.truncate(3_000_000_000)  # a hole: it takes no room on the disk
    assert "holds 50000001 triangles, more than the 50000000" in refusal(tmp_path / name)


def gltf(folder: Path, nodes: int, triangles: int, change: Callable[[dict[str, Any]], None] | None = None) -> Path:
    """Write a mesh of so many triangles that so many nodes put up."""
    held = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 1]], "<f4").tobytes() + bytes([0, 1, 2]) * triangles
    uri = "data:application/octet-stream;base64," + base64.b64encode(held).decode()
    tree: dict[str, Any] = {
        "asset": {"version": "2.0"}, "nodes": [{"mesh": 0}] * nodes, "buffers": [{"uri": uri}],
        "bufferViews": [{"buffer": 0, "byteLength": 36}, {"buffer": 0, "byteOffset": 36, "byteLength": 3 * triangles}],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3"},
            {"bufferView": 1, "componentType": 5121, "count": 3 * triangles, "type": "SCALAR"},
        ],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
    }  # fmt: skip
    if change:
        change(tree)
    (folder / "copies.gltf").write_text(json.dumps(tree))
    return folder / "copies.gltf"


def own_mesh_each(tree: dict[str, Any]) -> None:
    """Give every node a mesh of its own, all of them of the same bytes."""
    count = len(tree["nodes"])
    tree["nodes"] = [{"mesh": number} for number in range(count)]
    tree["accessors"] += [tree["accessors"][1]] * count
    tree["meshes"] = [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 2 + i}]} for i in range(count)]


@pytest.mark.parametrize("change", [None, own_mesh_each], ids=["copies of a mesh", "meshes of the same bytes"])
def test_triangles_that_a_gltf_multiplies_are_refused_before_they_are_made(
    tmp_path: Path, change: Callable[[dict[str, Any]], None] | None
) -> None:
    sentence = refusal(gltf(tmp_path, 1500, 4900, change))
    assert "puts up 7350000 triangles by copies of " in sentence
    assert "more than the 5000000 copies that are read" in sentence


def test_points_that_no_triangle_uses_are_not_multiplied(tmp_path: Path) -> None:
    def with_points(tree: dict[str, Any]) -> None:
        tree["bufferViews"][0]["byteLength"] = 36_000
        tree["accessors"][0]["count"] = 3000
        tree["nodes"] = [{"mesh": 0, "translation": [i, 0, 0]} for i in range(2000)]

    path = gltf(tmp_path, 0, 13_000, with_points)
    path.write_text(path.read_text().replace('"count": 39000', '"count": 3'))
    tracemalloc.start()
    assert len(read_mesh_file(path).pieces) == 2000
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 10e6  # of all points it would be 144 MB


def test_some_copies_of_a_mesh_are_put_up(tmp_path: Path) -> None:
    assert len(read_mesh_file(gltf(tmp_path, 300, 4)).pieces) == 300


def test_triangles_that_a_3mf_multiplies_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("scenes.mesh.files.limits.MOST_COPIES", 35)
    points = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in BOX.vertices)
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in BOX.faces)
    mesh = f'<object id="1"><mesh><vertices>{points}</vertices><triangles>{faces}</triangles></mesh></object>'
    items = '<item objectid="1"/>' * 4
    with zipfile.ZipFile(tmp_path / "boxes.3mf", "w") as archive:
        archive.writestr("3D/a.model", f"<model><resources>{mesh}</resources><build>{items}</build></model>")
    assert "puts up 48 triangles by copies of 12, more than the 35 copies" in refusal(tmp_path / "boxes.3mf")


def test_a_3mf_that_puts_up_objects_without_end_is_refused_as_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("scenes.mesh.files.threemf.model_part.MOST_PLACEMENTS", 400)
    items = '<item objectid="1"/>' * 401
    with zipfile.ZipFile(tmp_path / "many.3mf", "w") as archive:
        archive.writestr("3D/a.model", f"<model><resources/><build>{items}</build></model>")
    assert "many.3mf: it puts up objects more than 400 times" in refusal(tmp_path / "many.3mf")


def test_an_obj_of_too_many_groups_is_refused_before_the_library_has_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("scenes.mesh.files.limits.MOST_PIECES", 20)
    points = "v 0 0 0\nv 1 0 0\nv 0 1 1\n"
    few = "".join(f"o a{i % 4}\ng b\nusemtl m{i % 5}\nf 1 2 3\n" for i in range(200))  # 20 pieces
    (tmp_path / "few.obj").write_text(points + few)
    assert len(read_mesh_file(tmp_path / "few.obj").pieces) == 20
    (tmp_path / "many.obj").write_text(points + few + "o one more\nf 1 2 3\n")
    monkeypatch.setattr("scenes.mesh.files.mesh.read_pieces", None)
    assert "puts up more than 20 pieces: join some" in refusal(tmp_path / "many.obj")


BOUNDED = """
import resource, sys
from pathlib import Path
import PIL.Image, scipy.sparse.csgraph, trimesh
from scenes.errors import InputError
from tests.support.arrangements import subject_in
held = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
resource.setrlimit(resource.RLIMIT_AS, (held + 500_000_000,) * 2)
for path in sys.argv[1:]:
    used = resource.getrusage(resource.RUSAGE_SELF)
    resource.setrlimit(resource.RLIMIT_CPU, (int(used.ru_utime + used.ru_stime) + 6, resource.RLIM_INFINITY))
    try:
        print(subject_in(Path(path), height_cm=10).notes, flush=True)
    except InputError as error:
        print(error, flush=True)
"""
TETRAHEDRON = "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 1 4 3\n"


def textured(folder: Path, name: str) -> Path:
    (folder / f"{name}.mtl").write_text(f"newmtl skin\nmap_Kd {name}.png\n")
    text = f"mtllib {name}.mtl\nv 0 0 0\nv 1 0 0\nv 0 1 1\nvt 0 0\nvt 1 0\nvt 0 1\nusemtl skin\nf 1/1 2/2 3/3\n"
    (folder / f"{name}.obj").write_text(text)
    return folder / f"{name}.obj"


def grey_png(side: int) -> bytes:
    """Return a black PNG of 16 bits a pixel, without having it in memory at once."""
    packer = zlib.compressobj(1)
    packed = b"".join(packer.compress(bytes(1 + 2 * side)) for _ in range(side)) + packer.flush()
    chunks = [(b"IHDR", side.to_bytes(4, "big") * 2 + bytes([16, 0, 0, 0, 0])), (b"IDAT", packed), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        len(held).to_bytes(4, "big") + kind + held + zlib.crc32(kind + held).to_bytes(4, "big") for kind, held in chunks
    )


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="what a process holds is read from /proc")
def test_files_that_are_much_work_are_done_with_in_5_s_and_500_mb_each(tmp_path: Path) -> None:
    blank = tmp_path / "blank.obj"
    blank.write_text("\n" * 1_000_000 + TETRAHEDRON.replace("f", "\n" * 1_000_000 + "f", 1))
    (tmp_path / "grey.png").write_bytes(grey_png(12_000))
    Image.new("RGBA", (8192, 8192), (200, 100, 50, 255)).save(tmp_path / "largest.png", compress_level=1)
    expected = {
        blank: "()",
        gltf(tmp_path, 10_000, 4900): "puts up 49000000 triangles by copies of 4900",
        textured(tmp_path, "grey"): "the picture 'grey.png' of 12000 x 12000 pixels is too large",
        textured(tmp_path, "largest"): "of 8192 x 8192 pixels is used at 4096 x 4096",
    }
    child = subprocess.run([sys.executable, "-c", BOUNDED, *expected], capture_output=True, text=True, check=False)
    assert child.returncode == 0, child.stderr
    for said, words in zip(child.stdout.splitlines(), expected.values(), strict=True):
        assert words in said
