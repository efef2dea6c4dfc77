"""glTF files by the byte: colours, places in pictures and points in every kind of number that the format allows."""

from __future__ import annotations

import base64
import io
import json
import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from scenes.errors import InputError
from scenes.mesh.colour_map import ColourMap
from scenes.mesh.files.mesh import read_mesh_file
from scenes.mesh.piece import Piece

POINTS = np.array([[-1, -1, 0], [1, -1, 0], [1, 1, 0], [-1, 1, 0]], "<f4")
CORNERS = np.array([0, 1, 2, 0, 2, 3], "<u2")
UV = np.array([[0, 1], [1, 1], [1, 0], [0, 0]], "<f4")
"""The whole picture, upright: glTF counts it from the top down."""
LINEAR = np.array([[1, 0, 0], [0, 0.5, 0], [0, 0, 0.25], [0.01, 0.01, 0.01]])
NUMBERS = {"<f4": 5126, "|u1": 5121, "<u2": 5123, "|i1": 5120, "<i2": 5122}
WIDTHS = {1: "SCALAR", 2: "VEC2", 3: "VEC3", 4: "VEC4"}


class Plate:
    """A glTF file of a square plate, whose tree may be changed before it is written."""

    def __init__(self, points: NDArray[Any] = POINTS, **attributes: NDArray[Any]) -> None:
        self.held = b""
        self.tree: dict[str, Any] = {"asset": {"version": "2.0"}, "accessors": [], "bufferViews": []}
        self.primitive: dict[str, Any] = {"attributes": {"POSITION": self.added(points)}}
        self.primitive["attributes"] |= {name: self.added(values) for name, values in attributes.items()}
        self.primitive["indices"] = self.added(CORNERS[:, None])
        self.tree |= {"meshes": [{"primitives": [self.primitive]}], "nodes": [{"mesh": 0, "name": "plate"}]}

    def added(self, values: NDArray[Any]) -> int:
        """Add an accessor of values (n, width), rows apart by a multiple of four, and return its number."""
        rows = np.ascontiguousarray(values)
        step = -(-rows.dtype.itemsize * rows.shape[1] // 4) * 4 if rows.shape[1] > 1 else rows.dtype.itemsize
        packed = np.zeros((len(rows), step), np.uint8)
        packed[:, : rows.dtype.itemsize * rows.shape[1]] = rows.view(np.uint8).reshape(len(rows), -1)
        view = {"buffer": 0, "byteOffset": len(self.held), "byteLength": packed.size}
        self.tree["bufferViews"].append(view | ({"byteStride": step} if rows.shape[1] > 1 else {}))
        told = {"componentType": NUMBERS[rows.dtype.str], "type": WIDTHS[rows.shape[1]], "count": len(rows)}
        normalized = {"normalized": True} if rows.dtype.kind in "iu" and rows.shape[1] > 1 else {}
        self.tree["accessors"].append({"bufferView": len(self.tree["bufferViews"]) - 1, **told, **normalized})
        self.held += packed.tobytes() + bytes(-packed.size % 4)
        return len(self.tree["accessors"]) - 1

    def painted(self, picture: NDArray[Any], texture: dict[str, Any] | None = None, **factors: Any) -> Plate:
        """Give it a material with a picture, and return it."""
        packed = io.BytesIO()
        Image.fromarray(picture).save(packed, "PNG")
        uri = "data:image/png;base64," + base64.b64encode(packed.getvalue()).decode()
        look = {"baseColorTexture": {"index": 0} | (texture or {}), **factors}
        self.tree |= {"materials": [{"pbrMetallicRoughness": look}], "textures": [{"source": 0}]}
        self.tree["images"] = [{"uri": uri}]
        self.primitive["material"] = 0
        return self

    def written(self, folder: Path) -> Path:
        uri = "data:application/octet-stream;base64," + base64.b64encode(self.held).decode()
        self.tree["buffers"] = [{"byteLength": len(self.held), "uri": uri}]
        (folder / "plate.gltf").write_text(json.dumps(self.tree))
        return folder / "plate.gltf"


def pieces(path: Path) -> tuple[Piece, ...]:
    return read_mesh_file(path).pieces


def paint(path: Path) -> ColourMap:
    (piece,) = pieces(path)
    assert piece.colour_map is not None
    return piece.colour_map


def whole(values: NDArray[Any], kind: str) -> NDArray[Any]:
    return np.asarray(np.rint(values * np.iinfo(kind).max), kind)


WHITE = np.full((4, 4, 3), 255, np.uint8)


@pytest.mark.parametrize(
    ("colours", "within"),
    [(LINEAR.astype("<f4"), 1e-7), (whole(LINEAR, "u1"), 0.5 / 255), (whole(LINEAR, "<u2"), 0.5 / 65535)],
    ids=["float", "8 bits", "16 bits"],
)
def test_colours_at_points_are_linear_whatever_the_kind_of_number(
    tmp_path: Path, colours: NDArray[Any], within: float
) -> None:
    found = paint(Plate(COLOR_0=colours).written(tmp_path))
    assert found.picture is None
    np.testing.assert_allclose(found.corners.reshape(6, 3), LINEAR[CORNERS], rtol=0, atol=within + 1e-7)


def test_a_materials_factor_multiplies_the_colours_at_points(tmp_path: Path) -> None:
    plate = Plate(COLOR_0=LINEAR.astype("<f4"))
    plate.tree["materials"] = [{"pbrMetallicRoughness": {"baseColorFactor": [0.5, 1, 1, 1]}}]
    plate.primitive["material"] = 0
    found = paint(plate.written(tmp_path))
    np.testing.assert_allclose(found.corners.reshape(6, 3), LINEAR[CORNERS] * [0.5, 1, 1], atol=1e-6)


def test_a_dark_factor_is_not_rounded_to_a_byte_before_it_is_encoded(tmp_path: Path) -> None:
    plate = Plate()
    plate.tree["materials"] = [{"pbrMetallicRoughness": {"baseColorFactor": [0.0137, 0.0052, 0.0, 1]}}]
    plate.primitive["material"] = 0
    (piece,) = pieces(plate.written(tmp_path))
    # IEC 61966-2-1: .0137 -> .12175, 31.0 of 255; .0052 -> .06353, 16.2; as bytes they would be #1c0d00
    assert piece.colour == "#1f1000"


def test_places_in_a_picture_in_16_bits_are_what_they_are_as_floats(tmp_path: Path) -> None:
    floats = paint(Plate(TEXCOORD_0=UV).painted(WHITE).written(tmp_path))
    packed = paint(Plate(TEXCOORD_0=whole(UV, "<u2")).painted(WHITE).written(tmp_path))
    np.testing.assert_array_equal(floats.corners, packed.corners)
    np.testing.assert_array_equal(floats.corners.reshape(6, 2), np.array([[0, 0], [1, 0], [1, 1], [0, 1]])[CORNERS])


@pytest.mark.parametrize("kind", ["u1", "<u2", "<i2"])
def test_whole_places_that_are_not_normalized_stand_for_themselves(tmp_path: Path, kind: str) -> None:
    """As KHR_mesh_quantization allows, which brings them to 0 to 1 by a texture transform."""
    plate = Plate(TEXCOORD_0=(100 * UV).astype(kind))
    plate.tree["accessors"][plate.primitive["attributes"]["TEXCOORD_0"]].pop("normalized")
    plate.tree["extensionsUsed"] = plate.tree["extensionsRequired"] = ["KHR_mesh_quantization"]
    plate.painted(WHITE, {"extensions": {"KHR_texture_transform": {"scale": [0.01, 0.01]}}})
    floats = paint(Plate(TEXCOORD_0=UV).painted(WHITE).written(tmp_path))
    np.testing.assert_allclose(paint(plate.written(tmp_path)).corners, floats.corners, atol=1e-6)


def test_the_second_places_are_used_where_the_material_says_so(tmp_path: Path) -> None:
    plate = Plate(TEXCOORD_0=UV, TEXCOORD_1=UV / 2).painted(WHITE, {"texCoord": 1})
    assert paint(plate.written(tmp_path)).corners[..., 0].max() == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"scale": [0.5, 0.25]}, [(0.0, 0.75), (0.5, 0.75), (0.5, 1.0)]),
        ({"offset": [0.25, -0.5]}, [(0.25, 0.5), (1.25, 0.5), (1.25, 1.5)]),
        # a quarter counter-clockwise, as its property table says, about the upper left corner
        ({"rotation": np.pi / 2}, [(1.0, 1.0), (1.0, 2.0), (0.0, 2.0)]),
        # scaled before it is turned, as its matrices are multiplied
        ({"rotation": np.pi / 2, "scale": [0.5, 1]}, [(1.0, 1.0), (1.0, 1.5), (0.0, 1.5)]),
    ],
    ids=["scale", "offset", "rotation", "both"],
)
def test_a_picture_is_scaled_moved_and_turned(
    tmp_path: Path, change: dict[str, Any], expected: list[tuple[float, float]]
) -> None:
    """By the places of the first triangle: lower left, lower right, upper right. The Khronos Group's extension."""
    texture = {"extensions": {"KHR_texture_transform": change}}
    found = paint(Plate(TEXCOORD_0=UV).painted(WHITE, texture).written(tmp_path))
    moved = found.corners[0] - np.array(expected)  # by whole pictures
    np.testing.assert_allclose(moved, np.broadcast_to(np.rint(moved[0]), (3, 2)), atol=1e-6)


def test_a_factor_multiplies_a_picture_in_linear_light(tmp_path: Path) -> None:
    found = paint(Plate(TEXCOORD_0=UV).painted(WHITE, baseColorFactor=[0.5, 1, 0.0, 1]).written(tmp_path))
    assert found.picture is not None
    assert found.picture[0, 0].tolist() == [188, 255, 0]  # .5 linear is .7354 as seen, 187.5 of 255


def test_a_picture_of_16_bits_keeps_its_grey(tmp_path: Path) -> None:
    grey = np.full((4, 4), 0x8080, np.uint16)
    found = paint(Plate(TEXCOORD_0=UV).painted(grey).written(tmp_path))
    assert found.picture is not None
    assert found.picture[0, 0].tolist() == [128, 128, 128]


def test_pieces_of_one_picture_share_it(tmp_path: Path) -> None:
    plate = Plate(TEXCOORD_0=UV).painted(WHITE)
    plate.tree["meshes"][0]["primitives"] *= 2
    one, other = pieces(plate.written(tmp_path))
    assert one.colour_map is not None
    assert other.colour_map is not None
    assert one.colour_map.picture is other.colour_map.picture


def test_a_picture_that_is_none_is_left_out_and_told(tmp_path: Path) -> None:
    plate = Plate(TEXCOORD_0=UV).painted(WHITE)
    plate.tree["images"] = [{"uri": "data:image/png;base64," + base64.b64encode(b"no picture").decode()}]
    mesh = read_mesh_file(plate.written(tmp_path))
    assert mesh.pieces[0].colour_map is None
    assert mesh.notes == ("its picture 'image 0' could not be read and is left out: save it as PNG or JPEG",)


def test_a_normal_map_and_missing_places_are_told(tmp_path: Path) -> None:
    plate = Plate().painted(WHITE)
    plate.tree["materials"][0]["normalTexture"] = {"index": 0}
    notes = read_mesh_file(plate.written(tmp_path)).notes
    assert notes == (
        "fine lines that are only in its normal map will not show: that map is not used",
        "it has a picture, but no places in it for its points",
    )


@pytest.mark.parametrize("kind", ["i1", "<i2"])
def test_packed_points_are_fractions_of_their_largest_number(tmp_path: Path, kind: str) -> None:
    (piece,) = pieces(Plate(whole(POINTS, kind)).written(tmp_path))
    np.testing.assert_array_equal(piece.vertices, POINTS)


def test_points_keep_their_single_precision(tmp_path: Path) -> None:
    (piece,) = pieces(Plate(POINTS + np.float32(1 / 3)).written(tmp_path))
    assert piece.vertices.dtype == np.float32
    np.testing.assert_array_equal(piece.vertices, POINTS + np.float32(1 / 3))


@pytest.mark.parametrize(("mode", "corners"), [(5, [0, 1, 3, 2]), (6, [0, 1, 2, 3])], ids=["strip", "fan"])
def test_strips_and_fans_look_to_the_side_that_a_list_does(tmp_path: Path, mode: int, corners: list[int]) -> None:
    plate = Plate()
    plate.primitive |= {"mode": mode, "indices": plate.added(np.array(corners, "<u2")[:, None])}
    (piece,) = pieces(plate.written(tmp_path))
    a, b, c = piece.vertices[piece.faces].transpose(1, 0, 2)
    np.testing.assert_allclose(np.cross(b - a, c - a), [[0, 0, 4], [0, 0, 4]])


def test_sparse_values_replace_those_that_they_name(tmp_path: Path) -> None:
    plate = Plate()
    where, values = plate.added(np.array([[2]], "<u2")), plate.added(np.array([[5, 6, 7]], "<f4"))
    plate.tree["accessors"][0]["sparse"] = {
        "count": 1, "values": {"bufferView": values}, "indices": {"bufferView": where, "componentType": 5123},
    }  # fmt: skip
    (piece,) = pieces(plate.written(tmp_path))
    np.testing.assert_array_equal(piece.vertices, [*POINTS[:2], (5, 6, 7), POINTS[3]])


def test_sparse_values_without_a_view_replace_noughts(tmp_path: Path) -> None:
    plate = Plate()
    where, values = plate.added(np.arange(4, dtype="<u2")[:, None]), plate.added(POINTS)
    told = plate.tree["accessors"][0]
    told.pop("bufferView")
    told["sparse"] = {
        "count": 3, "values": {"bufferView": values}, "indices": {"bufferView": where, "componentType": 5123},
    }  # fmt: skip
    (piece,) = pieces(plate.written(tmp_path))
    np.testing.assert_array_equal(piece.vertices, [*POINTS[:3], (0, 0, 0)])


@pytest.mark.parametrize("count", [0, 1])
def test_an_empty_binary_chunk_is_a_buffer_of_no_bytes(tmp_path: Path, count: int) -> None:
    plate = Plate()
    uri = "data:application/octet-stream;base64," + base64.b64encode(plate.held).decode()
    plate.tree["buffers"] = [{"byteLength": len(plate.held), "uri": uri}, {"byteLength": 0}]
    plate.tree["bufferViews"].append({"buffer": 1, "byteLength": 12 * count})
    empty = {"bufferView": len(plate.tree["bufferViews"]) - 1, "componentType": 5126, "type": "VEC3", "count": count}
    plate.tree["accessors"].append(empty)
    none = {"attributes": {"POSITION": len(plate.tree["accessors"]) - 1}}
    plate.tree["meshes"].append({"primitives": [none]})
    plate.tree["nodes"].append({"mesh": 1})
    text = json.dumps(plate.tree).encode()
    text += b" " * (-len(text) % 4)
    lengths = [struct.pack("<III4s", 2, 28 + len(text), len(text), b"JSON"), struct.pack("<I4s", 0, b"BIN\0")]
    (tmp_path / "plate.glb").write_bytes(b"glTF" + lengths[0] + text + lengths[1])
    if count:
        with pytest.raises(InputError, match="announces 12 bytes in a buffer of 0"):
            read_mesh_file(tmp_path / "plate.glb")
    else:
        assert [len(piece.faces) for piece in pieces(tmp_path / "plate.glb")] == [2, 0]


@pytest.mark.parametrize(
    ("need", "said"),
    [
        ("EXT_meshopt_compression", "is compressed (EXT_meshopt_compression): export it without that compression"),
        ("KHR_meshopt_compression", "is compressed (KHR_meshopt_compression): export it without that compression"),
        ("EXT_mesh_gpu_instancing", "needs EXT_mesh_gpu_instancing, which is not read here: export it without that"),
    ],
)
def test_what_a_file_needs_and_is_not_read_here_is_refused(tmp_path: Path, need: str, said: str) -> None:
    plate = Plate()
    plate.tree["extensionsRequired"] = [need]
    with pytest.raises(InputError) as caught:
        read_mesh_file(plate.written(tmp_path))
    assert str(caught.value) == f"plate.gltf {said}"


def test_bones_are_told(tmp_path: Path) -> None:
    plate = Plate()
    plate.tree["nodes"][0]["skin"] = 0
    notes = read_mesh_file(plate.written(tmp_path)).notes
    assert notes == ("it is posed by bones, which are not read here: it stands as it was modelled",)
