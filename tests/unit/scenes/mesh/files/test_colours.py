"""Colours of PLY, OBJ, OFF and 3MF files, and what those formats may say in more ways than one."""

from __future__ import annotations

import struct
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray
from PIL import Image

from materials.colour.srgb import srgb_decode
from scenes.mesh.files.mesh import read_mesh_file
from scenes.mesh.piece import Piece

SEEN = np.array([[255, 0, 0], [0, 188, 0], [0, 0, 128], [10, 10, 10]])
"""Colours of four points as seen; 188 of 255 is .5 in linear light (IEC 61966-2-1)."""
POINTS = [(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0)]
FACES = np.array([[0, 1, 2], [0, 2, 3]])
HALF = pytest.approx(0.5029, abs=1e-4)


def only(path: Path) -> Piece:
    (piece,) = read_mesh_file(path).pieces
    return piece


def corners(path: Path) -> NDArray[np.float32]:
    paint = only(path).colour_map
    assert paint is not None
    assert paint.picture is None
    return paint.corners


def ply(folder: Path, kind: str, names: tuple[str, str, str], values: NDArray[Any]) -> Path:
    """Write four coloured points and a quadrilateral, in words or in bytes of either order."""
    heading = [
        "ply", f"format {kind} 1.0", "element vertex 4", *(f"property float {axis}" for axis in "xyz"),
        *(f"property {'float' if values.dtype.kind == 'f' else 'uchar'} {name}" for name in names),
        "element face 1", "property list uchar int vertex_indices", "end_header\n",
    ]  # fmt: skip
    path = folder / "plate.ply"
    if kind == "ascii":
        rows = [" ".join(map(str, [*point, *colour])) for point, colour in zip(POINTS, values.tolist(), strict=True)]
        path.write_text("\n".join([*heading[:-1], "end_header", *rows, "4 0 1 2 3\n"]))
        return path
    order = ">" if "big" in kind else "<"
    letter = "f" if values.dtype.kind == "f" else "B"
    rows_of_bytes = [
        struct.pack(f"{order}3f3{letter}", *point, *colour) for point, colour in zip(POINTS, values, strict=True)
    ]
    face = struct.pack(f"{order}B4i", 4, 0, 1, 2, 3)
    path.write_bytes("\n".join(heading).encode() + b"".join(rows_of_bytes) + face)
    return path


@pytest.mark.parametrize("kind", ["ascii", "binary_little_endian", "binary_big_endian"])
@pytest.mark.parametrize("names", [("red", "green", "blue"), ("diffuse_red", "diffuse_green", "diffuse_blue")])
@pytest.mark.parametrize("values", [SEEN.astype(np.uint8), SEEN / 255], ids=["bytes", "floats"])
def test_colours_at_the_points_of_a_ply_are_as_seen(
    tmp_path: Path, kind: str, names: tuple[str, str, str], values: NDArray[Any]
) -> None:
    found = corners(ply(tmp_path, kind, names, values))
    assert found[0, 1, 1] == HALF
    expected = {tuple(row) for row in srgb_decode(SEEN / 255).round(3).tolist()}
    assert {tuple(row) for row in found.reshape(-1, 3).round(3).astype(float).round(3).tolist()} == expected


def test_colours_of_the_faces_of_a_ply(tmp_path: Path) -> None:
    mesh = trimesh.Trimesh(POINTS, FACES, face_colors=SEEN[:2], process=False)
    mesh.export(tmp_path / "plate.ply")
    np.testing.assert_allclose(corners(tmp_path / "plate.ply"), np.repeat(srgb_decode(SEEN[:2, None] / 255), 3, axis=1))


@pytest.mark.parametrize("scale", [1, 255])
def test_colours_at_the_points_of_an_obj_are_as_seen(tmp_path: Path, scale: int) -> None:
    points = "".join(
        f"v {x} {y} {z} {r * scale / 255} {g * scale / 255} {b * scale / 255}\n"
        for (x, y, z), (r, g, b) in zip(POINTS, SEEN.tolist(), strict=True)
    )
    (tmp_path / "plate.obj").write_text(points + "f 1 2 3\nf 1 3 4\n")
    np.testing.assert_allclose(corners(tmp_path / "plate.obj"), srgb_decode(SEEN / 255)[FACES], atol=3e-3)


def off(folder: Path, heading: str, points: list[str], faces: list[str]) -> Path:
    (folder / "plate.off").write_text("\n".join([heading, "# a remark", f"4 {len(faces)} 0", *points, *faces, ""]))
    return folder / "plate.off"


@pytest.mark.parametrize("scale", [1, 255])
def test_colours_at_the_points_of_an_off(tmp_path: Path, scale: int) -> None:
    shown = [[c if scale == 1 else c / 255 for c in colour] for colour in SEEN.tolist()]
    points = [" ".join(map(str, [*point, *colour, 1])) for point, colour in zip(POINTS, shown, strict=True)]
    found = corners(off(tmp_path, "COFF", points, ["3 0 1 2", "3 0 2 3"]))
    np.testing.assert_allclose(found, srgb_decode(SEEN / 255)[FACES], atol=1e-6)


@pytest.mark.parametrize("colours", [["255 0 0", "0 188 0"], ["1.0 0.0 0.0", "0.0 0.7373 0.0"]])
def test_colours_of_the_polygons_of_an_off_go_to_all_their_triangles(tmp_path: Path, colours: list[str]) -> None:
    faces = [f"4 0 1 2 3 {colours[0]}", f"3 0 1 2 {colours[1]}", "3 1 2 3"]
    found = corners(off(tmp_path, "OFF", [" ".join(map(str, point)) for point in POINTS], faces))
    assert found.shape == (4, 3, 3)
    np.testing.assert_allclose(found[:2], np.broadcast_to([1, 0, 0], (2, 3, 3)))
    assert found[2, 0, 1] == HALF
    assert len(set(found[3, 0].tolist())) == 1  # grey, where others have a colour


def test_polygons_of_an_off_without_colours_are_cut_into_triangles(tmp_path: Path) -> None:
    piece = only(off(tmp_path, "OFF", [" ".join(map(str, point)) for point in POINTS], ["4 0 1 2 3"]))
    assert piece.faces.tolist() == FACES.tolist()
    assert (piece.colour, piece.colour_map) == (None, None)


def threemf(path: Path, objects: str, items: str, **parts: str) -> Path:
    home = "http://schemas.microsoft.com/3dmanufacturing"
    spaces = f'xmlns="{home}/core/2015/02" xmlns:p="{home}/production/2015/06"'
    with zipfile.ZipFile(path, "w") as archive:
        for name, held in {"3dmodel": objects, **parts}.items():
            put = items if name == "3dmodel" else ""
            model = f'<model unit="inch" {spaces}><resources>{held}</resources><build>{put}</build></model>'
            archive.writestr(f"3D/{name}.model", model)
    return path


TRIANGLE = (
    '<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/></vertices>'
    '<triangles><triangle v1="0" v2="1" v3="2"/></triangles></mesh>'
)


def test_a_3mf_objects_own_base_material_colours_it(tmp_path: Path) -> None:
    colours = (
        '<basematerials id="5"><base name="a" displaycolor="#112233"/><base name="b" displaycolor="#CC9933FF"/>'
        "</basematerials>"
    )
    objects = f'{colours}<object id="1" name="hull" pid="5" pindex="1">{TRIANGLE}</object>'
    piece = only(threemf(tmp_path / "a.3mf", objects, '<item objectid="1"/>'))
    assert (piece.name, piece.colour) == ("hull", "#cc9933")


@pytest.mark.parametrize(
    ("resource", "attribute", "said"),
    [
        ('<texture2dgroup id="7" texid="6"/>', "", "pictures in a 3MF are not read"),
        ("", 'paint_color="4"', "painted on in a slicing program are not read"),
    ],
)
def test_colours_of_a_3mf_that_are_not_read_are_told(tmp_path: Path, resource: str, attribute: str, said: str) -> None:
    mesh = TRIANGLE.replace("<triangle ", f"<triangle {attribute} ")
    path = threemf(tmp_path / "a.3mf", f'{resource}<object id="1">{mesh}</object>', '<item objectid="1"/>')
    (note,) = read_mesh_file(path).notes
    assert said in note


def test_a_3mf_of_several_parts_is_put_together(tmp_path: Path) -> None:
    component = '<component p:path="/3D/boat.model" objectid="1" transform="1 0 0 0 1 0 0 0 1 10 20 30"/>'
    objects = f'<object id="2" name="boat"><components>{component}</components></object>'
    path = threemf(
        tmp_path / "a.3mf", objects, '<item objectid="2" transform="2 0 0 0 2 0 0 0 2 0 0 0"/>',
        boat=f'<object id="1">{TRIANGLE}</object>',
    )  # fmt: skip
    assert read_mesh_file(path).unit == "inch"
    piece = only(path)
    assert piece.name == "boat"
    np.testing.assert_allclose(piece.vertices, [[20, 40, 60], [22, 40, 60], [20, 42, 60]])


OBJ = "mtllib skin.mtl\nv 0 0 0\nv 1 0 0\nv 0 1 0\nvt 0 0\nvt 1 0\nvt 0 1\no one\nusemtl skin\nf 1/1 2/2 3/3\n"


def textured(folder: Path, *lines: str, size: tuple[int, int] = (4, 4), more: str = "") -> Path:
    Image.new("RGB", size, (188, 188, 188)).save(folder / "skin.png")
    (folder / "skin.mtl").write_text("\n".join(["newmtl skin", *lines, ""]))
    (folder / "model.obj").write_text(OBJ + more)
    return folder / "model.obj"


@pytest.mark.parametrize(
    ("factor", "expected"),
    [("0.7373 1 0.0", [138, 188, 0]), ("0 0 0", [188] * 3), ("0.8 0.8 0.8", [188] * 3), ("1 1 1", [188] * 3)],
)
def test_a_factor_that_somebody_chose_multiplies_an_objs_picture(
    tmp_path: Path, factor: str, expected: list[int]
) -> None:
    paint = only(textured(tmp_path, f"Kd {factor}", "map_Kd skin.png")).colour_map
    assert paint is not None
    assert paint.picture is not None
    assert paint.picture[0, 0].tolist() == expected  # .5029 squared, .2529, is .5399 as seen, 137.7


def test_objects_of_one_material_share_its_picture(tmp_path: Path) -> None:
    path = textured(tmp_path, "map_Kd skin.png", more="o two\nusemtl skin\nf 3/3 2/2 1/1\n")
    one, two = (piece.colour_map for piece in read_mesh_file(path).pieces)
    assert one is not None
    assert two is not None
    assert one.picture is two.picture


def test_what_an_mtl_says_of_a_picture_and_is_not_followed_is_told(tmp_path: Path) -> None:
    path = textured(tmp_path, "map_Kd -s 2 2 1 -clamp on skin.png", "map_Bump skin.png")
    notes = read_mesh_file(path).notes
    assert "the options '-s 2 2 1 -clamp on' of its picture 'skin.png' are not followed" in notes
    assert "fine lines that are only in its normal map will not show: that map is not used" in notes
    assert any(note.startswith("its colours come from a picture") for note in notes)


def test_a_large_picture_is_reduced_and_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("scenes.mesh.pictures.LARGEST_SIDE", 16)
    path = textured(tmp_path, "map_Kd skin.png", size=(40, 20))
    paint = only(path).colour_map
    assert paint is not None
    assert paint.picture is not None
    assert paint.picture.shape == (7, 14, 3)
    assert "its picture 'skin.png' of 40 x 20 pixels is used at 14 x 7" in read_mesh_file(path).notes


def test_a_missing_mtl_leaves_an_obj_without_colours_and_is_told(tmp_path: Path) -> None:
    (tmp_path / "model.obj").write_text(OBJ)
    mesh = read_mesh_file(tmp_path / "model.obj")
    assert mesh.pieces[0].colour is None
    assert mesh.notes == ("the file names 'skin.mtl', which is not beside it",)


def test_the_only_material_of_an_mtl_is_taken_for_the_only_one_that_its_obj_uses_and_is_told(tmp_path: Path) -> None:
    (tmp_path / "skin.mtl").write_text("newmtl Leather\nKd 0.8 0.6 0.2\n")
    (tmp_path / "model.obj").write_text(OBJ)
    mesh = read_mesh_file(tmp_path / "model.obj")
    assert mesh.pieces[0].colour == "#cc9933"
    assert mesh.notes == ("its material 'skin' is called 'Leather' in its MTL file: taken for the same",)


def test_a_material_that_is_none_of_several_leaves_its_part_without_colours_and_is_told(tmp_path: Path) -> None:
    (tmp_path / "skin.mtl").write_text("newmtl Leather\nKd 0.8 0.6 0.2\nnewmtl Brass\nKd 0.9 0.7 0.1\n")
    (tmp_path / "model.obj").write_text(OBJ)
    mesh = read_mesh_file(tmp_path / "model.obj")
    assert mesh.pieces[0].colour is None
    assert mesh.notes == ("its MTL file has no material called 'skin': what is of it has no colours",)


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "cp1252"])
def test_names_in_the_letters_of_other_programs_are_read(tmp_path: Path, coding: str) -> None:
    (tmp_path / "häut.mtl").write_bytes("newmtl häut\nKd 0.8 0.6 0.2\n".encode(coding))
    text = "mtllib häut.mtl\n" + OBJ.split("\n", 1)[1].replace("skin", "häut").replace("o one", "o Büste")
    (tmp_path / "model.obj").write_bytes(text.encode(coding))
    piece = only(tmp_path / "model.obj")
    assert (piece.name, piece.material, piece.colour) == ("Büste", "häut", "#cc9933")


def test_an_off_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    (tmp_path / "a.off").write_bytes("OFF\n3 1 0\n0 0 0\n1 0 0\n0 1 0\n3 0 1 2\n".encode("utf-8-sig"))
    assert len(only(tmp_path / "a.off").faces) == 1


def test_a_binary_stl_whose_heading_begins_as_one_in_words_is_read(tmp_path: Path) -> None:
    content: bytes = trimesh.creation.box().export(file_type="stl")
    (tmp_path / "box.stl").write_bytes(b"solid facet of an odd exporter".ljust(80) + content[80:])
    piece = only(tmp_path / "box.stl")
    assert len(piece.faces) == 12
    assert piece.vertices.dtype == np.float32
