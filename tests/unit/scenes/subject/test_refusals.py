"""Mesh files that cannot be used, each refused in one sentence, and files that reach for others."""

from __future__ import annotations

import json
import socket
import struct
from pathlib import Path
from typing import Any

import pytest
import trimesh

from scenes.errors import InputError
from tests.support.arrangements import subject_in

HEIGHT = {"height_cm": 18}
BOX = trimesh.creation.box((1, 2, 3))
OBJ = "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\n"


def refusal(path: Path, sizing: dict[str, Any] = HEIGHT, **keys: Any) -> str:
    """Return the sentence with which the file is refused."""
    with pytest.raises(InputError) as caught:
        subject_in(path, **sizing, **keys)
    sentence = str(caught.value)
    assert "\n" not in sentence
    assert len(sentence) < 400
    return sentence


def stl(folder: Path) -> Path:
    BOX.export(folder / "box.stl")
    return folder / "box.stl"


def file(folder: Path, name: str, content: str | bytes) -> Path:
    (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder / name


def test_a_missing_file(tmp_path: Path) -> None:
    assert "no.stl is not there: check the path" in refusal(tmp_path / "no.stl")


def test_a_folder(tmp_path: Path) -> None:
    assert "is a folder: name the mesh file in it" in refusal(tmp_path)


@pytest.mark.parametrize("name", ["model.zip", "model.dae", "model"])
def test_an_unknown_extension_lists_what_can_be_read(tmp_path: Path, name: str) -> None:
    sentence = refusal(file(tmp_path, name, OBJ))
    assert name in sentence
    assert "stl, obj, ply, glb, gltf, 3mf, off" in sentence


@pytest.mark.parametrize("kind", ["stl", "obj", "ply", "glb", "gltf", "3mf", "off"])
@pytest.mark.parametrize("content", [b"", b"hello world\n" * 20, bytes(range(256)) * 4], ids=["none", "text", "bytes"])
def test_what_is_no_mesh(tmp_path: Path, kind: str, content: bytes) -> None:
    sentence = refusal(file(tmp_path, f"thing.{kind}", content))
    assert f"thing.{kind}" in sentence
    assert "again" in sentence


@pytest.mark.parametrize("kind", ["stl", "ply", "glb", "3mf", "off"])
@pytest.mark.parametrize("kept", [0.3, 0.9])
def test_a_file_cut_short(tmp_path: Path, kind: str, kept: float) -> None:
    made = trimesh.creation.icosphere(2).export(file_type=kind)
    data = made if isinstance(made, bytes) else made.encode()
    assert "again" in refusal(file(tmp_path, f"cut.{kind}", data[: int(kept * len(data))]))


def test_an_ascii_stl_cut_short(tmp_path: Path) -> None:
    text = str(BOX.export(file_type="stl_ascii"))
    assert "ends before its 'endsolid'" in refusal(file(tmp_path, "cut.stl", text[:900]))


def test_an_stl_of_no_triangles(tmp_path: Path) -> None:
    assert "none.stl holds no triangles" in refusal(file(tmp_path, "none.stl", bytes(84)))


def test_an_stl_that_announces_more_than_it_holds(tmp_path: Path) -> None:
    data = stl(tmp_path).read_bytes()
    sentence = refusal(file(tmp_path, "box.stl", data[:300]))
    assert "holds 300 bytes where the 12 triangles it announces take 684" in sentence


@pytest.mark.parametrize("bad", ["nan", "inf"])
def test_points_that_are_no_finite_numbers(tmp_path: Path, bad: str) -> None:
    sentence = refusal(file(tmp_path, "bad.obj", "o hull\n" + OBJ.replace("v 0 1 0", f"v 0 {bad} 0")))
    assert sentence.startswith("bad.obj: part 'hull' has 1 points that are not finite numbers")


def test_not_a_number_in_a_binary_stl(tmp_path: Path) -> None:
    data = bytearray(stl(tmp_path).read_bytes())
    data[100:104] = struct.pack("<f", float("nan"))
    assert "not finite" in refusal(file(tmp_path, "box.stl", bytes(data)))


@pytest.mark.parametrize(
    "content",
    [OBJ + "f 1 2 9\n", OBJ.replace("v 0 1 0", "v 0 zero 0"), OBJ.replace(" 0\n", "\n"), OBJ + "f - -2 -1\n"],
)
def test_an_obj_of_wrong_numbers(tmp_path: Path, content: str) -> None:
    assert "bad.obj" in refusal(file(tmp_path, "bad.obj", content))


def test_a_model_without_size(tmp_path: Path) -> None:
    assert "has no size" in refusal(file(tmp_path, "dot.obj", "v 1 1 1\n" * 4 + "f 1 3 2\nf 1 2 4\n"))


def test_triangles_that_all_lie_on_a_line(tmp_path: Path) -> None:
    line = "v 0 0 0\nv 1 0 1\nv 2 0 2\nf 1 2 3\n"
    assert "no triangle with an area" in refusal(file(tmp_path, "line.obj", line))


def test_a_model_that_owes_its_size_to_a_triangle_without_area(tmp_path: Path) -> None:
    needle = OBJ.replace("1", ".001", 3) + "v 0 0 4\nv 0 0 9\nf 1 5 6\n"
    sentence = refusal(file(tmp_path, "needle.obj", needle.replace("f .001", "f 1")))
    assert sentence.startswith("needle.obj is 0.02 mm large without its triangles of no area: ")


def test_a_flat_model_cannot_be_sized_by_its_height(tmp_path: Path) -> None:
    flat = file(tmp_path, "flat.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n")
    assert "flat.obj has no height, so height_cm = 18 cannot scale it" in refusal(flat)
    assert subject_in(flat, length_cm=18).height_cm == 0


def test_no_unit_says_what_to_type(tmp_path: Path) -> None:
    sentence = refusal(stl(tmp_path), {})
    for part in ("box.stl", "--height-cm 18", "--length-cm", "--width-cm", "height_cm = 18", 'unit = "mm"'):
        assert part in sentence


@pytest.mark.parametrize(
    ("sizing", "word"),
    [
        ({"height_cm": 18, "length_cm": 3}, "two sizes, length_cm = 3 and height_cm = 18"),
        ({"height_cm": 0}, "test.toml: subject.height_cm = 0: should "),
        ({"width_cm": float("nan")}, "test.toml: subject.width_cm = nan: should be a finite number"),
        ({"unit": "inch"}, "test.toml: subject.unit = \"inch\": should be 'mm', 'cm', 'm' or 'in'"),
        ({"unit": "m"}, "would be 300"),
        ({"height_cm": 900}, "would be 900 cm large with height_cm = 900"),
        ({"height_cm": 0.1}, "would be 1 mm large with height_cm = 0.1"),
    ],
)
def test_a_scale_that_cannot_be_meant(tmp_path: Path, sizing: dict[str, Any], word: str) -> None:
    BOX.copy().apply_scale(1.001).export(tmp_path / "box.stl")
    sentence = refusal(tmp_path / "box.stl", sizing)
    assert word in sentence


def test_a_unit_that_makes_it_too_small_asks_for_the_size(tmp_path: Path) -> None:
    sentence = refusal(stl(tmp_path), {"unit": "mm"})
    assert 'would be 3 mm large with unit = "mm"' in sentence
    assert "--height-cm" in sentence


def test_an_unknown_axis(tmp_path: Path) -> None:
    assert "subject.up = \"w\": should be 'x', 'y', 'z', '-x', '-y' or '-z'" in refusal(stl(tmp_path), up="w")


SECRET = "newmtl brass\nKd 0.8 0.6 0.2\n"


@pytest.mark.parametrize("name", ["../secret.mtl", "{outside}/secret.mtl", "http://localhost/secret.mtl", "link.mtl"])
def test_an_obj_cannot_read_materials_outside_its_folder(
    tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(socket, "socket", None)
    inside = tmp_path / "inside"
    inside.mkdir()
    file(tmp_path, "secret.mtl", SECRET)
    (inside / "link.mtl").symlink_to(tmp_path / "secret.mtl")
    name = name.format(outside=tmp_path)
    path = file(inside, "box.obj", f"mtllib {name}\nusemtl brass\n{OBJ}")
    sentence = refusal(path)
    assert f"names '{name[:30]}" in sentence
    assert "which is outside its folder and is not read" in sentence


def test_an_obj_without_its_materials_loads_with_a_note(tmp_path: Path) -> None:
    subject = subject_in(file(tmp_path, "box.obj", "mtllib box.mtl\n" + OBJ), **HEIGHT)
    assert subject.notes[0] == "the file names 'box.mtl', which is not beside it"


def gltf(folder: Path, uri: str) -> Path:
    """Write a glTF file of one box, its buffer under another name."""
    made = trimesh.Scene(BOX).export(file_type="gltf", merge_buffers=True)
    tree = json.loads(made["model.gltf"])
    (buffer,) = (content for name, content in made.items() if name != "model.gltf")
    tree["buffers"][0]["uri"] = uri
    file(folder, "box.gltf", json.dumps(tree))
    return file(folder, "box data.bin", buffer)


def test_a_gltf_reads_buffers_of_its_own_folder_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(socket, "socket", None)
    inside = tmp_path / "inside"
    inside.mkdir()
    buffer = gltf(inside, "box%20data.bin")
    assert len(subject_in(inside / "box.gltf", **HEIGHT).parts[0].faces) == 12
    file(tmp_path, "data.bin", buffer.read_bytes())
    for uri in (
        "../data.bin",
        "..\\data.bin",
        str(tmp_path / "data.bin"),
        "file:///data.bin",
        "%2e%2e/data.bin",
    ):
        gltf(inside, uri)
        assert "outside its folder" in refusal(inside / "box.gltf")
    gltf(inside, "gone.bin")
    assert "names 'gone.bin', which is not beside it" in refusal(inside / "box.gltf")


def test_a_gltf_of_a_compression_that_is_not_read_says_so(tmp_path: Path) -> None:
    gltf(tmp_path, "box data.bin")
    tree = json.loads((tmp_path / "box.gltf").read_text())
    tree["extensionsRequired"] = ["EXT_meshopt_compression"]
    file(tmp_path, "box.gltf", json.dumps(tree))
    assert "compressed (EXT_meshopt_compression): export it without" in refusal(tmp_path / "box.gltf")


def test_nothing_is_written_beside_the_mesh(tmp_path: Path) -> None:
    path = stl(tmp_path)
    subject_in(path, **HEIGHT)
    assert list(tmp_path.iterdir()) == [path]
