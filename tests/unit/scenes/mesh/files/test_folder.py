"""Names of mesh files and of files beside them that no file can have, or that lead to what is no file."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from scenes.arrangement.folder import Folder
from scenes.arrangement.resolving import read_arrangement, resolve
from scenes.errors import InputError
from scenes.mesh.files.mesh import read_mesh_file

TRIANGLE = "v 0 0 0\nv 1 0 0\nv 0 1 1\nvt 0 0\nusemtl skin\nf 1/1 2/1 3/1\n"
ODD_NAMES = ["a\0b.png", "x" * 300 + ".png", "loop.png", "pipe.png", "device.png", "deep/" * 2000 + "a.png"]


def obj_of_material(folder: Path, name: str) -> Path:
    (folder / "a.obj").write_text(f"mtllib {name}\n{TRIANGLE}")
    return folder / "a.obj"


def obj_of_picture(folder: Path, name: str) -> Path:
    (folder / "a.mtl").write_text(f"newmtl skin\nmap_Kd {name}\n")
    return obj_of_material(folder, "a.mtl")


def ply_of_picture(folder: Path, name: str) -> Path:
    heading = f"ply\nformat ascii 1.0\ncomment TextureFile {name}\nelement vertex 3\n"
    heading += "".join(f"property float {letter}\n" for letter in "xyzst")
    rows = "0 0 0 0 0\n1 0 0 1 0\n0 1 1 0 1\n3 0 1 2\n"
    text = f"{heading}element face 1\nproperty list uchar int vertex_indices\nend_header\n{rows}"
    (folder / "a.ply").write_text(text)
    return folder / "a.ply"


def odd_files(folder: Path) -> None:
    (folder / "loop.png").symlink_to("loop.png")
    (folder / "device.png").symlink_to("/dev/zero")
    os.mkfifo(folder / "pipe.png")


@pytest.mark.parametrize("write", [obj_of_material, obj_of_picture, ply_of_picture])
@pytest.mark.parametrize("name", ODD_NAMES, ids=["zero", "long", "loop", "pipe", "device", "deep"])
def test_a_file_beside_a_mesh_that_is_none_is_told_in_a_sentence(
    tmp_path: Path, write: Callable[[Path, str], Path], name: str
) -> None:
    odd_files(tmp_path)
    try:
        (said,) = read_mesh_file(write(tmp_path, name)).notes
    except InputError as error:
        said = str(error)
    assert "which is not beside it" in said or "which is outside its folder" in said
    assert said.isprintable()
    assert len(said) < 300


@pytest.mark.parametrize("name", ODD_NAMES, ids=["zero", "long", "loop", "pipe", "device", "deep"])
def test_a_buffer_of_a_gltf_that_is_no_file_is_told_in_a_sentence(tmp_path: Path, name: str) -> None:
    odd_files(tmp_path)
    tree = {
        "nodes": [{"mesh": 0}], "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
        "accessors": [{"bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3"}],
        "bufferViews": [{"buffer": 0, "byteLength": 36}], "buffers": [{"byteLength": 36, "uri": name}],
    }  # fmt: skip
    (tmp_path / "a.gltf").write_text(json.dumps(tree))
    with pytest.raises(InputError, match=r"which is not beside it|which is outside its folder") as caught:
        read_mesh_file(tmp_path / "a.gltf")
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 300


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("a\0b.stl", "is not there"),
        ("x" * 300 + ".stl", "cannot be opened (File name too long)"),
        ("loop.stl", "cannot be opened (Too many levels of symbolic links)"),
        ("file.stl/a.stl", "is not there"),
        ("pipe.stl", "is no file of its own"),
        ("device.stl", "is no file of its own"),
    ],
    ids=["zero", "long", "loop", "under a file", "pipe", "device"],
)
def test_a_mesh_file_that_is_none_is_told_in_a_sentence(tmp_path: Path, name: str, said: str) -> None:
    (tmp_path / "loop.stl").symlink_to("loop.stl")
    (tmp_path / "device.stl").symlink_to("/dev/zero")
    (tmp_path / "file.stl").write_bytes(b"")
    os.mkfifo(tmp_path / "pipe.stl")
    with pytest.raises(InputError) as caught:
        read_mesh_file(tmp_path / name)
    assert said in str(caught.value)


@pytest.mark.parametrize("name", ["a\\u0000b.stl", "x" * 300 + ".stl", "loop.stl"], ids=["zero", "long", "loop"])
def test_a_mesh_that_an_arrangement_names_and_is_none_is_told_in_a_sentence(tmp_path: Path, name: str) -> None:
    (tmp_path / "loop.stl").symlink_to("loop.stl")
    path = tmp_path / "a.toml"
    path.write_text(f'format = 1\n[subject]\nmesh = "{name}"\nheight_cm = 18\n', encoding="utf-8")
    with pytest.raises(InputError, match=r"subject\.mesh = .*there is no such file") as caught:
        resolve(read_arrangement(path), Folder(tmp_path, str(path)))
    assert "\n" not in str(caught.value)
