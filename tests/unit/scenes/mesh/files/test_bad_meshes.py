"""Mesh files that would do harm or cannot be: each is refused in one sentence, soon, with little memory."""

from __future__ import annotations

import json
import os
import struct
import tracemalloc
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import trimesh

from scenes.errors import InputError
from tests.support.arrangements import subject_in

BOX = trimesh.creation.box((1, 2, 3))
MODEL = (
    '<model unit="millimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>{objects}'
    "</resources><build>{items}</build></model>"
)
TRIANGLE = (
    '<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="1"/></vertices>'
    '<triangles><triangle v1="0" v2="1" v3="2"/></triangles></mesh>'
)
ITEM = '<item objectid="1"/>'


def refusal(path: Path) -> str:
    """Return the sentence with which a file is refused, that took less than 100 MB to find."""
    tracemalloc.start()
    with pytest.raises(InputError) as caught:
        subject_in(path, height_cm=10)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    sentence = str(caught.value)
    assert peak < 100e6
    assert "\n" not in sentence
    assert path.name in sentence
    return sentence


def written(path: Path, content: bytes) -> Path:
    path.write_bytes(content)
    return path


def threemf(path: Path, objects: str, items: str = ITEM) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("3D/3dmodel.model", MODEL.format(objects=objects, items=items))
    return path


def glb_with(change: Callable[[dict[str, Any]], None]) -> bytes:
    """Return a GLB of a box whose JSON was changed."""
    data: bytes = BOX.export(file_type="glb")
    length = int.from_bytes(data[12:16], "little")
    tree = json.loads(data[20 : 20 + length])
    change(tree)
    text = json.dumps(tree).encode()
    text += b" " * (-len(text) % 4)
    rest = data[20 + length :]
    return b"glTF" + struct.pack("<III4s", 2, 20 + len(text) + len(rest), len(text), b"JSON") + text + rest


def test_an_stl_of_a_hundred_bytes_that_announces_two_gigabytes(tmp_path: Path) -> None:
    content = bytes(80) + (2**31 // 50).to_bytes(4, "little") + bytes(16)
    assert "holds 100 bytes where the 42949672 triangles it announces" in refusal(written(tmp_path / "a.stl", content))


def test_an_stl_cut_short(tmp_path: Path) -> None:
    content = BOX.export(file_type="stl")
    assert "it is cut short" in refusal(written(tmp_path / "a.stl", content[:-7]))


def test_a_picture_outside_the_folder(tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    (tmp_path / "secret.png").write_bytes(b"no picture")
    (inside / "a.mtl").write_text("newmtl skin\nmap_Kd ../secret.png\n")
    text = "mtllib a.mtl\nv 0 0 0\nv 1 0 0\nv 0 1 1\nvt 0 0\nusemtl skin\nf 1/1 2/1 3/1\n"
    assert "names '../secret.png', which is outside its folder" in refusal(written(inside / "a.obj", text.encode()))


def test_a_3mf_that_unpacks_to_much_more_than_it_is(tmp_path: Path) -> None:
    bomb = threemf(tmp_path / "a.3mf", " " * 50_000_000)
    assert bomb.stat().st_size < 100_000
    assert "more than a mesh does" in refusal(bomb)


def test_a_3mf_object_made_of_itself(tmp_path: Path) -> None:
    ring = '<object id="1"><components><component objectid="1"/></components></object>'
    assert "is made of itself" in refusal(threemf(tmp_path / "a.3mf", ring))


def test_3mf_objects_that_double_at_every_level(tmp_path: Path) -> None:
    objects = f'<object id="1">{TRIANGLE}</object>'
    for number in range(2, 31):
        twice = f'<component objectid="{number - 1}"/>' * 2
        objects += f'<object id="{number}"><components>{twice}</components></object>'
    items = '<item objectid="30"/>'
    assert "more than 10000 pieces" in refusal(threemf(tmp_path / "a.3mf", objects, items))


def test_a_3mf_that_puts_up_what_it_does_not_hold(tmp_path: Path) -> None:
    objects = f'<object id="1">{TRIANGLE}</object>'
    assert "object 7, which it does not hold" in refusal(threemf(tmp_path / "a.3mf", objects, '<item objectid="7"/>'))


def test_3mf_objects_of_nothing_that_double_at_every_level(tmp_path: Path) -> None:
    objects = '<object id="1"><components/></object>'
    for number in range(2, 31):
        twice = f'<component objectid="{number - 1}"/>' * 2
        objects += f'<object id="{number}"><components>{twice}</components></object>'
    assert "more than 10000 pieces" in refusal(threemf(tmp_path / "a.3mf", objects, '<item objectid="30"/>'))


def test_a_3mf_whose_xml_unfolds_without_end(tmp_path: Path) -> None:
    entities = "".join(f'<!ENTITY a{i} "{f"&a{i - 1};" * 10}">' for i in range(1, 12))
    model = f'<!DOCTYPE model [<!ENTITY a0 "ha">{entities}]>' + MODEL.format(
        objects=f'<object id="1" name="&a11;">{TRIANGLE}</object>', items=ITEM
    )
    with zipfile.ZipFile(tmp_path / "a.3mf", "w") as archive:
        archive.writestr("3D/3dmodel.model", model)
    assert "its XML declares a document type" in refusal(tmp_path / "a.3mf")


def test_a_3mf_whose_xml_reads_another_file(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("1")
    entity = f'<!DOCTYPE model [<!ENTITY x SYSTEM "{tmp_path}/secret.txt">]>'
    model = entity + MODEL.format(objects=f'<object id="1" name="&x;">{TRIANGLE}</object>', items=ITEM)
    with zipfile.ZipFile(tmp_path / "a.3mf", "w") as archive:
        archive.writestr("3D/3dmodel.model", model)
    assert "its XML declares a document type" in refusal(tmp_path / "a.3mf")


@pytest.mark.parametrize(("place", "value"), [(8, 10**6), (12, 10**6), (12, 2**32 - 1)], ids=["file", "chunk", "huge"])
def test_a_glb_with_a_wrong_length(tmp_path: Path, place: int, value: int) -> None:
    data = bytearray(BOX.export(file_type="glb"))
    data[place : place + 4] = value.to_bytes(4, "little")
    assert "it is cut short or broken" in refusal(written(tmp_path / "a.glb", bytes(data)))


def test_a_glb_that_announces_billions_of_values(tmp_path: Path) -> None:
    def change(tree: dict[str, Any]) -> None:
        tree["accessors"][0]["count"] = 2**40

    assert "announces 1099511627776 values" in refusal(written(tmp_path / "a.glb", glb_with(change)))


@pytest.mark.parametrize("key", ["bufferView", "byteLength"])
def test_a_glb_whose_values_lie_outside_its_bytes(tmp_path: Path, key: str) -> None:
    def change(tree: dict[str, Any]) -> None:
        tree["buffers"][0]["byteLength"] = 2**40
        if key == "byteLength":
            tree["bufferViews"][0]["byteLength"] = 2**39
        else:
            for accessor in tree["accessors"]:
                accessor.pop("bufferView")
                accessor["count"] = 2**30

    assert " announces " in refusal(written(tmp_path / "a.glb", glb_with(change)))


def test_a_glb_that_puts_up_its_mesh_without_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("scenes.mesh.files.limits.MOST_PIECES", 100)

    def change(tree: dict[str, Any]) -> None:
        tree["nodes"] = [{"mesh": 0}] * 101
        tree["scenes"] = [{"nodes": list(range(101))}]

    assert "puts up more than 100 pieces" in refusal(written(tmp_path / "a.glb", glb_with(change)))


@pytest.mark.parametrize("kind", ["stl", "obj", "ply", "glb", "gltf", "3mf", "off"])
def test_a_file_larger_than_any_mesh(tmp_path: Path, kind: str) -> None:
    with (tmp_path / f"a.{kind}").open("wb") as file:
        file.truncate(2**40)  # a hole: it takes no room on the disk
    assert "holds 1099511627776 bytes, more than" in refusal(tmp_path / f"a.{kind}")


@pytest.mark.parametrize("kind", ["stl", "obj", "ply", "glb", "gltf", "3mf", "off"])
def test_an_empty_file(tmp_path: Path, kind: str) -> None:
    refusal(written(tmp_path / f"a.{kind}", b""))


@pytest.mark.parametrize("number", ["nan", "inf", "1e30", "1e-30"])
def test_points_that_are_nowhere_near_a_model(tmp_path: Path, number: str) -> None:
    text = f"v {number} 0 0\nv 0 {number} 0\nv 0 0 {number}\nf 1 2 3\n"
    assert "export it again" in refusal(written(tmp_path / "a.obj", text.encode()))


@pytest.mark.parametrize("face", ["0 1 2", "1/1 2/2 0/3", "1 2 00", "1 2 4"])
def test_an_obj_face_on_a_point_that_is_not_there(tmp_path: Path, face: str) -> None:
    text = f"v 0 0 0\nv 10 0 0\nv 0 1 0\nvt 0 0\nvt 0 0\nvt 0 0\nf {face}\n"
    assert "export" in refusal(written(tmp_path / "a.obj", text.encode()))


@pytest.mark.parametrize("name", ["../skin.mtl", "/etc/hosts", "C:\\skin.mtl", "https://example.org/skin.mtl"])
def test_an_mtl_outside_the_folder(tmp_path: Path, name: str) -> None:
    text = f"mtllib {name}\nv 0 0 0\nv 1 0 0\nv 0 1 1\nf 1 2 3\n"
    assert "which is outside its folder" in refusal(written(tmp_path / "a.obj", text.encode()))


def test_a_link_that_leads_out_of_the_folder(tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    (tmp_path / "skin.mtl").write_text("newmtl skin\n")
    (inside / "skin.mtl").symlink_to(tmp_path / "skin.mtl")
    text = "mtllib skin.mtl\nv 0 0 0\nv 1 0 0\nv 0 1 1\nf 1 2 3\n"
    assert "which is outside its folder" in refusal(written(inside / "a.obj", text.encode()))


def test_a_glb_whose_nodes_hang_in_a_ring(tmp_path: Path) -> None:
    def change(tree: dict[str, Any]) -> None:
        for i, node in enumerate(tree["nodes"]):
            node["children"] = [(i + 1) % len(tree["nodes"])]

    assert "in a ring" in refusal(written(tmp_path / "a.glb", glb_with(change)))


@pytest.mark.parametrize("element", ["vertex", "face"])
def test_a_ply_that_announces_billions(tmp_path: Path, element: str) -> None:
    head = BOX.export(file_type="ply")
    count = b"8" if element == "vertex" else b"12"
    changed = head.replace(f"element {element} ".encode() + count, f"element {element} ".encode() + b"4000000000")
    assert changed != head
    assert "announces 40000000" in refusal(written(tmp_path / "a.ply", changed))


def test_an_off_that_announces_billions(tmp_path: Path) -> None:
    text = "OFF\n4000000000 4000000000 0\n0 0 0\n1 0 0\n0 1 0\n3 0 1 2\n"
    assert "of the 8000000000 lines that it announces" in refusal(written(tmp_path / "a.off", text.encode()))


def test_a_pipe_is_no_mesh(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.stl")
    assert "is no file of its own" in refusal(tmp_path / "a.stl")


def test_a_picture_of_too_many_pixels(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from PIL import Image

    monkeypatch.setattr("scenes.mesh.pictures.MOST_PIXELS", 100)
    Image.new("RGB", (20, 20)).save(tmp_path / "skin.png")
    (tmp_path / "a.mtl").write_text("newmtl skin\nmap_Kd skin.png\n")
    text = "mtllib a.mtl\nv 0 0 0\nv 1 0 0\nv 0 1 1\nvt 0 0\nusemtl skin\nf 1/1 2/1 3/1\n"
    assert "20 x 20 pixels is too large" in refusal(written(tmp_path / "a.obj", text.encode()))
