"""The opacity of pieces: glTF alpha modes, the d, Tr and map_d of MTL, the alpha of pictures."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from scenes.mesh.files.mesh import read_mesh_file
from scenes.mesh.files.opacity import INVISIBLE, THIN, UNSEEN
from scenes.mesh.files.visual import HOLES, POINT_ALPHA
from scenes.mesh.opacity_map import OpacityMap
from scenes.mesh.piece import MeshFile, Piece

from .test_gltf import UV, Plate

HALF_CLEAR = np.full((8, 8, 4), 255, np.uint8)
HALF_CLEAR[:, :4, 3] = 0
"""A white picture whose left half is clear."""


def plate(mode: str | None, picture: NDArray[np.uint8] | None = None, **material: Any) -> Plate:
    """Return a plate with a material of an alpha mode, and a picture or none."""
    factor = material.pop("factor", [1, 1, 1, 1])
    attributes = material.pop("attributes", {})
    result = Plate(TEXCOORD_0=UV, **attributes)
    if picture is None:
        result.tree["materials"] = [{"pbrMetallicRoughness": {"baseColorFactor": factor}}]
        result.primitive["material"] = 0
    else:
        result.painted(picture, baseColorFactor=factor)
    result.tree["materials"][0] |= material | ({} if mode is None else {"alphaMode": mode})
    return result


def obj(folder: Path, *statements: str) -> MeshFile:
    """Return an OBJ of a square whose material has some statements."""
    (folder / "model.mtl").write_text("\n".join(["newmtl skin", *statements, ""]))
    points = "v -1 -1 0\nv 1 -1 0\nv 1 1 0\nv -1 1 0\nvt 0 0\nvt 1 0\nvt 1 1\nvt 0 1\n"
    text = f"mtllib model.mtl\n{points}usemtl skin\nf 1/1 2/2 3/3 4/4\n"
    (folder / "model.obj").write_text(text)
    return read_mesh_file(folder / "model.obj")


def only(mesh: MeshFile) -> Piece:
    (piece,) = mesh.pieces
    return piece


def opacity(piece: Piece) -> OpacityMap:
    assert piece.opacity_map is not None
    return piece.opacity_map


@pytest.mark.parametrize("mode", [None, "OPAQUE", "NONSENSE"])
def test_alpha_of_an_opaque_material_is_ignored(tmp_path: Path, mode: str | None) -> None:
    assert only(read_mesh_file(plate(mode, HALF_CLEAR).written(tmp_path))).opacity_map is None


def test_blended_alpha_is_that_of_picture_factor_and_points(tmp_path: Path) -> None:
    points = np.ones((4, 4), "<f4")
    points[:, 3] = 0.5
    built = plate("BLEND", HALF_CLEAR, factor=[1, 1, 1, 0.8], attributes={"COLOR_0": points})
    found = opacity(only(read_mesh_file(built.written(tmp_path))))
    np.testing.assert_allclose(found.corners[..., 2], 0.4, rtol=1e-6)
    np.testing.assert_array_equal(found.picture, HALF_CLEAR[..., 3])
    assert found.cutoff is None


@pytest.mark.parametrize(("material", "cutoff"), [({}, 0.5), ({"alphaCutoff": 0.3}, 0.3)])
def test_masked_alpha_is_cut_off(tmp_path: Path, material: dict[str, Any], cutoff: float) -> None:
    mesh = read_mesh_file(plate("MASK", HALF_CLEAR, **material).written(tmp_path))
    assert opacity(only(mesh)).cutoff == cutoff
    assert not any("opaque" in note for note in mesh.notes)


def test_a_blended_material_that_is_opaque_all_over_is_no_see_through_one(tmp_path: Path) -> None:
    """As many programs export every material."""
    opaque = np.full((8, 8, 4), 255, np.uint8)
    assert only(read_mesh_file(plate("BLEND", opaque).written(tmp_path))).opacity_map is None


def test_what_gltf_makes_invisible_stays_so_and_is_told(tmp_path: Path) -> None:
    mesh = read_mesh_file(plate("BLEND", factor=[1, 1, 1, 0]).written(tmp_path))
    assert (opacity(only(mesh)).corners[..., 2] == 0).all()
    assert mesh.notes == (UNSEEN,)


def test_glass_of_gltf_is_told(tmp_path: Path) -> None:
    extension = {"KHR_materials_transmission": {"transmissionFactor": 1.0}}
    notes = read_mesh_file(plate(None, extensions=extension).written(tmp_path)).notes
    assert any("clear = true" in note for note in notes)


def test_clear_places_of_a_picture_have_no_fringe(tmp_path: Path) -> None:
    picture = np.zeros((8, 8, 4), np.uint8)
    picture[:, 4:] = (200, 100, 50, 255)  # beside clear black
    piece = only(read_mesh_file(plate("BLEND", picture).written(tmp_path)))
    assert piece.colour_map is not None
    assert piece.colour_map.picture is not None
    np.testing.assert_array_equal(piece.colour_map.picture[:, 3], np.broadcast_to([200, 100, 50], (8, 3)))


@pytest.mark.parametrize(
    ("statements", "expected"),
    [
        (["d 0.4"], 0.4), (["Tr 0.6"], 0.4), (["d 0.4", "Tr 0.4"], 0.4), (["Tr 0.4", "d 0.4"], 0.4),
        (["d -halo 0.4"], 0.4),
    ],
)  # fmt: skip
def test_d_is_the_opacity_and_tr_what_is_left_of_it_unless_both_are_stated(
    tmp_path: Path, statements: list[str], expected: float
) -> None:
    mesh = obj(tmp_path, *statements)
    np.testing.assert_allclose(opacity(only(mesh)).corners[..., 2], expected, rtol=1e-6)
    assert mesh.notes == (THIN.format(expected),)


@pytest.mark.parametrize("statements", [["d 1"], ["Tr 0"], ["d 1", "Tr 1"], ["Tr 1", "d 1"], ["d"], ["d x"], ["d 7"]])
def test_a_material_is_opaque_by_default(tmp_path: Path, statements: list[str]) -> None:
    mesh = obj(tmp_path, *statements)
    assert only(mesh).opacity_map is None
    assert mesh.notes == ()


@pytest.mark.parametrize("statement", ["d 0", "Tr 1.0"])
def test_a_careless_program_makes_no_model_vanish(tmp_path: Path, statement: str) -> None:
    mesh = obj(tmp_path, statement)
    assert only(mesh).opacity_map is None
    assert mesh.notes == (INVISIBLE,)


def test_the_alpha_of_a_picture_counts_and_is_told(tmp_path: Path) -> None:
    Image.fromarray(HALF_CLEAR).save(tmp_path / "skin.png")
    mesh = obj(tmp_path, "map_Kd skin.png")
    np.testing.assert_array_equal(opacity(only(mesh)).picture, HALF_CLEAR[..., 3])
    assert HOLES in mesh.notes


GREYS = np.array([[0, 255], [255, 51]], np.uint8)


@pytest.mark.parametrize(
    ("statement", "picture", "expected"),
    [
        ("map_d", GREYS, GREYS), ("map_Tr", GREYS, 255 - GREYS), ("map_d -imfchan m", GREYS, GREYS),
        ("map_d", np.dstack([np.full((2, 2, 3), 9, np.uint8), GREYS]), GREYS),
    ],
    ids=["grey", "inverted", "with an option", "alpha"],
)  # fmt: skip
def test_a_picture_of_holes_has_alpha_or_shows_it(
    tmp_path: Path, statement: str, picture: NDArray[np.uint8], expected: NDArray[np.uint8]
) -> None:
    Image.fromarray(picture).save(tmp_path / "holes.png")
    mesh = obj(tmp_path, "Kd 0.2 0.4 0.1", f"{statement} holes.png")
    np.testing.assert_array_equal(opacity(only(mesh)).picture, expected)
    assert only(mesh).colour == "#33661a"
    assert HOLES not in mesh.notes


def test_a_picture_of_holes_counts_instead_of_the_alpha_of_the_other(tmp_path: Path) -> None:
    Image.fromarray(HALF_CLEAR).save(tmp_path / "skin.png")
    Image.fromarray(GREYS).save(tmp_path / "holes.png")
    found = opacity(only(obj(tmp_path, "map_Kd skin.png", "map_d holes.png")))
    np.testing.assert_array_equal(found.picture, GREYS)


def test_a_missing_picture_of_holes_leaves_the_piece_opaque_and_is_told(tmp_path: Path) -> None:
    mesh = obj(tmp_path, "map_d holes.png")
    assert only(mesh).opacity_map is None
    assert any("holes.png" in note for note in mesh.notes)


def test_clear_gaps_between_the_islands_of_a_picture_do_not_count(tmp_path: Path) -> None:
    picture = np.full((64, 64, 4), 255, np.uint8)
    picture[:, 40:, 3] = 0
    Image.fromarray(picture).save(tmp_path / "atlas.png")
    obj(tmp_path, "map_Kd atlas.png")
    text = (tmp_path / "model.obj").read_text().replace("vt 1 ", "vt 0.6 ")
    (tmp_path / "model.obj").write_text(text)
    assert only(read_mesh_file(tmp_path / "model.obj")).opacity_map is None


@pytest.mark.parametrize(("alpha", "notes"), [(0, (POINT_ALPHA,)), (255, ())])
def test_the_alpha_of_scanned_points_is_not_followed(tmp_path: Path, alpha: int, notes: tuple[str, ...]) -> None:
    heading = "ply\nformat ascii 1.0\nelement vertex 3\n" + "".join(f"property float {axis}\n" for axis in "xyz")
    heading += "".join(f"property uchar {name}\n" for name in ("red", "green", "blue", "alpha"))
    rows = "".join(f"{point} {colour} {alpha}\n" for point, colour in
                   (("0 0 0", "9 9 9"), ("1 0 0", "200 9 9"), ("0 1 0", "9 200 9")))  # fmt: skip
    text = f"{heading}element face 1\nproperty list uchar int vertex_indices\nend_header\n{rows}3 0 1 2\n"
    (tmp_path / "scan.ply").write_text(text)
    mesh = read_mesh_file(tmp_path / "scan.ply")
    assert only(mesh).opacity_map is None
    assert mesh.notes == notes


def test_a_mirrored_copy_keeps_its_holes_where_they_were(tmp_path: Path) -> None:
    built = plate("MASK", HALF_CLEAR)
    plain = only(read_mesh_file(built.written(tmp_path)))
    built.tree["nodes"][0]["scale"] = [-1, 1, 1]
    mirrored = only(read_mesh_file(built.written(tmp_path)))
    np.testing.assert_array_equal(opacity(mirrored).corners, opacity(plain).corners[:, ::-1])
