"""Pictures that meshes are painted with: opened by content, of a few formats, by nothing but `scenes.mesh.pictures`."""

from __future__ import annotations

import base64
import io
import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import numpy as np
import pytest
from PIL import EpsImagePlugin, Image

from scenes.errors import InputError
from scenes.mesh.files.mesh import read_mesh_file
from scenes.mesh.pictures import pixels

EPS = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n%%EndComments\n(a program) print\nshowpage\n%%EOF\n"
UNREADABLE = "could not be read and is left out: save it as PNG or JPEG"


def obj(folder: Path, picture: str) -> Path:
    (folder / "model.mtl").write_text(f"newmtl skin\nmap_Kd {picture}\n")
    text = "mtllib model.mtl\nv 0 0 0\nv 1 0 0\nv 0 1 1\nvt 0 0\nvt 1 0\nvt 0 1\nusemtl skin\nf 1/1 2/2 3/3\n"
    (folder / "model.obj").write_text(text)
    return folder / "model.obj"


def ply(folder: Path, picture: str) -> Path:
    heading = f"ply\nformat ascii 1.0\ncomment TextureFile {picture}\nelement vertex 3\n"
    heading += "".join(f"property float {name}\n" for name in "xyzst")
    rows = "0 0 0 0 0\n1 0 0 1 0\n0 1 1 0 1\n3 0 1 2\n"
    text = f"{heading}element face 1\nproperty list uchar int vertex_indices\nend_header\n{rows}"
    (folder / "model.ply").write_text(text)
    return folder / "model.ply"


def gltf(folder: Path, picture: str) -> Path:
    held = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 1]], "<f4").tobytes()
    held += np.array([[0, 0], [1, 0], [0, 1]], "<f4").tobytes()
    uri = "data:application/octet-stream;base64," + base64.b64encode(held).decode()
    tree = {
        "asset": {"version": "2.0"}, "nodes": [{"mesh": 0}], "buffers": [{"byteLength": 60, "uri": uri}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0, "TEXCOORD_0": 1}, "material": 0}]}],
        "bufferViews": [
            {"buffer": 0, "byteOffset": 0, "byteLength": 36}, {"buffer": 0, "byteOffset": 36, "byteLength": 24},
        ],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3"},
            {"bufferView": 1, "componentType": 5126, "count": 3, "type": "VEC2"},
        ],
        "materials": [{"pbrMetallicRoughness": {"baseColorTexture": {"index": 0}}}],
        "textures": [{"source": 0}], "images": [{"uri": picture, "name": picture}],
    }  # fmt: skip
    (folder / "model.gltf").write_text(json.dumps(tree))
    return folder / "model.gltf"


WRITERS = pytest.mark.parametrize("write", [obj, ply, gltf])


@WRITERS
@pytest.mark.parametrize("name", ["skin.eps", "skin.png"])
def test_a_program_in_a_picture_is_never_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, write: Callable[[Path, str], Path], name: str
) -> None:
    assert Image.open(io.BytesIO(EPS)).format == "EPS"  # whatever its file is called
    reached: list[str] = []

    def reach(*_: object, **__: object) -> NoReturn:
        reached.append("a program")
        raise OSError

    monkeypatch.setattr(subprocess, "Popen", reach)
    monkeypatch.setattr(EpsImagePlugin, "Ghostscript", reach)
    monkeypatch.setattr(EpsImagePlugin.EpsImageFile, "_open", reach)
    (tmp_path / name).write_bytes(EPS)
    mesh = read_mesh_file(write(tmp_path, name))
    assert reached == []
    assert mesh.pieces[0].colour_map is None
    assert mesh.notes == (f"its picture '{name}' {UNREADABLE}",)


@WRITERS
@pytest.mark.parametrize("name", ["skin.png", "skin.jpg", "skin.webp", "skin.bmp", "skin.tga", "skin.tif", "skin.eps"])
def test_pictures_are_read_whatever_their_format(tmp_path: Path, write: Callable[[Path, str], Path], name: str) -> None:
    packed = io.BytesIO()
    picture = Image.new("RGB", (16, 16), (200, 100, 50))
    kind = {"eps": "PNG", "jpg": "JPEG", "tif": "TIFF"}.get(name[-3:], name.partition(".")[2].upper())
    picture.save(packed, kind)  # of a picture called .eps the content is a PNG
    (tmp_path / name).write_bytes(packed.getvalue())
    (piece,) = read_mesh_file(write(tmp_path, name)).pieces
    assert piece.colour_map is not None
    assert piece.colour_map.picture is not None
    np.testing.assert_allclose(piece.colour_map.picture, np.broadcast_to([200, 100, 50], (16, 16, 3)), atol=3)


@pytest.mark.parametrize("mode", ["RGBA", "P"])
@pytest.mark.parametrize("alpha", [0, 128])
def test_a_picture_has_the_alpha_of_its_file_or_none(mode: str, alpha: int) -> None:
    picture = Image.new("RGBA", (8, 300), (200, 100, 50, 255))
    plain, holed = io.BytesIO(), io.BytesIO()
    picture.save(plain, "PNG")
    picture.putpixel((3, 290), (200, 100, 50, alpha))
    (picture.quantize() if mode == "P" else picture).save(holed, "PNG")
    assert pixels(plain.getvalue(), "skin").opacity is None
    opacity = pixels(holed.getvalue(), "skin").opacity
    assert opacity is not None
    assert opacity[290, 3] == alpha
    assert (opacity == 255).sum() == 8 * 300 - 1


@pytest.mark.parametrize("steps", [1, 2, 3])
@pytest.mark.parametrize("mode", ["RGB", "L", "P", "I;16", "CMYK"])
def test_a_picture_taken_some_rows_at_a_time_is_what_it_is_as_a_whole(
    monkeypatch: pytest.MonkeyPatch, mode: str, steps: int
) -> None:
    monkeypatch.setattr("scenes.mesh.pictures.LARGEST_SIDE", -(-400 // steps))
    monkeypatch.setattr("scenes.mesh.pictures.ROWS_AT_ONCE", 7)
    values = np.random.default_rng(0).integers(0, 256, (400, 30, 3), np.uint8)
    picture = Image.fromarray(values)
    if mode == "I;16":
        picture = Image.fromarray(values[..., 0].astype(np.uint16) * 256 + values[..., 1])
        whole = Image.fromarray(values[..., 0]).convert("RGB")
    else:
        picture = picture.convert(mode)
        whole = picture.convert("RGB")
    packed = io.BytesIO()
    picture.save(packed, "TIFF")
    found = pixels(packed.getvalue(), "skin")
    assert found.pixels is not None
    np.testing.assert_array_equal(found.pixels, np.asarray(whole.reduce(steps)))


def test_pictures_that_are_too_much_together_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a picture that many materials take in colours of their own there are as many copies."""
    monkeypatch.setattr("scenes.mesh.pictures.MOST_KEPT", 5 * 16)
    Image.new("RGB", (4, 4), (9, 9, 9)).save(tmp_path / "skin.png")
    path = obj(tmp_path, "skin.png")
    materials = "".join(f"newmtl m{i}\nKd 0.{i} 1 1\nmap_Kd skin.png\n" for i in range(1, 6))
    head, face = path.read_text().replace("usemtl skin\n", "").rsplit("f ", 1)
    path.write_text(head + "".join(f"usemtl m{i}\nf {face}" for i in range(1, 6)))
    (tmp_path / "model.mtl").write_text(materials.partition("newmtl m5")[0])
    assert len(read_mesh_file(path).pieces) == 5
    (tmp_path / "model.mtl").write_text(materials)
    with pytest.raises(InputError, match=r"model\.obj: its pictures have more than 80 pixels together"):
        read_mesh_file(path)


@WRITERS
def test_a_picture_larger_than_any_is_refused_unread(tmp_path: Path, write: Callable[[Path, str], Path]) -> None:
    with (tmp_path / "skin.png").open("wb") as file:
        file.truncate(2**40)  # a hole: it takes no room on the disk
    with pytest.raises(InputError, match=r"names 'skin.png' of 1099511627776 bytes, more than the 268435456 read here"):
        read_mesh_file(write(tmp_path, "skin.png"))
