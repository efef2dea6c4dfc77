"""Mesh files: every format, names and colours, broken files, and files from strangers."""

from __future__ import annotations

import json
import re
import zipfile
from pathlib import Path

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from scenes.subject.subject import Subject
from tests.support.arrangements import subject_in

HEIGHT = {"height_cm": 18}
BOX = trimesh.creation.box((0.1, 0.2, 0.3))
BALL = trimesh.creation.icosphere(1, radius=0.05).apply_translation((0, 0, 0.2))
FORMATS = ["stl", "obj", "ply", "glb", "gltf", "3mf", "off"]


def written(folder: Path, mesh: trimesh.Trimesh | trimesh.Scene, name: str) -> Path:
    """Write the mesh, and what belongs to it beside it."""
    kind = Path(name).suffix[1:]
    made = mesh.export(file_type=kind)
    if isinstance(made, dict):
        for file, content in made.items():
            (folder / file.replace("model", Path(name).stem)).write_bytes(content)
    else:
        (folder / name).write_bytes(made if isinstance(made, bytes) else made.encode())
    return folder / name


def scene() -> trimesh.Scene:
    both = trimesh.Scene()
    both.add_geometry(BOX, node_name="hull", geom_name="hull")
    both.add_geometry(BALL, node_name="turret", geom_name="turret")
    return both


def names(subject: Subject) -> list[str]:
    return [part.name for part in subject.parts]


def all_vertices(subject: Subject) -> NDArray[np.float32]:
    return np.concatenate([part.vertices_cm for part in subject.parts])


@pytest.mark.parametrize("kind", FORMATS)
def test_a_box_of_every_format_has_its_proportions(tmp_path: Path, kind: str) -> None:
    subject = subject_in(written(tmp_path, BOX, f"a box.{kind}"), **HEIGHT, up="z")
    np.testing.assert_allclose(subject.bounds_cm, [[-3, -6, 0], [3, 6, 18]], atol=1e-4)
    assert [(part.name, len(part.faces), part.colour) for part in subject.parts] == [("model", 12, None)]
    assert subject.name == "a box"
    assert subject.notes == ()


def test_ascii_stl_and_capital_extensions_are_read(tmp_path: Path) -> None:
    path = tmp_path / "BOX.STL"
    path.write_text(str(BOX.export(file_type="stl_ascii")))
    np.testing.assert_allclose(subject_in(path, **HEIGHT).bounds_cm[1], [3, 6, 18], atol=1e-4)


def test_ascii_stl_keeps_several_solids_apart(tmp_path: Path) -> None:
    text = str(BOX.export(file_type="stl_ascii")) + "\n" + str(BALL.export(file_type="stl_ascii"))
    (tmp_path / "two.stl").write_text(text)
    subject = subject_in(tmp_path / "two.stl", **HEIGHT)
    assert [part.name for part in subject.parts] == ["model", "model 2"]
    assert [len(part.faces) for part in subject.parts] == [12, 80]


def test_bytes_after_the_triangles_of_a_binary_stl_are_ignored(tmp_path: Path) -> None:
    path = written(tmp_path, BOX, "box.stl")
    path.write_bytes(path.read_bytes() + b"made with love")
    assert len(subject_in(path, **HEIGHT).parts[0].faces) == 12


@pytest.mark.parametrize("kind", ["glb", "gltf", "3mf", "obj"])
def test_named_parts_keep_their_names_and_order(tmp_path: Path, kind: str) -> None:
    assert names(subject_in(written(tmp_path, scene(), f"tank.{kind}"), **HEIGHT)) == ["hull", "turret"]


@pytest.mark.parametrize("kind", ["glb", "gltf"])
def test_gltf_is_metres_with_y_up_and_its_nodes_are_placed(tmp_path: Path, kind: str) -> None:
    # an arrow modelled lying on its side, stood up by its node: its nose to +z, the front of a y-up file
    arrow = trimesh.Trimesh(
        [[0, 0, 0.4], [0, -0.05, 0], [0, 0.05, 0], [0.1, 0, 0]], [[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]]
    )
    stand = trimesh.transformations.rotation_matrix(np.pi / 2, (0, 0, 1))
    stand[:3, 3] = 5, 6, 7
    placed = trimesh.Scene()
    placed.add_geometry(arrow, node_name="arrow", transform=stand)
    subject = subject_in(written(tmp_path, placed, f"arrow.{kind}"))
    np.testing.assert_allclose(subject.bounds_cm, [[-5, -20, 0], [5, 20, 10]], atol=1e-4)
    points = all_vertices(subject)
    np.testing.assert_allclose(points[points[:, 1] < -19], [[0, -20, 0]] * 3, atol=1e-4)


def test_a_mirrored_copy_still_looks_outwards(tmp_path: Path) -> None:
    both = trimesh.Scene(BALL)
    mirror = np.diag([-1.0, 1, 1, 1])
    mirror[0, 3] = 0.5
    both.add_geometry(BALL, node_name="mirrored", transform=mirror)
    subject = subject_in(written(tmp_path, both, "two.glb"))
    assert subject.notes == ()
    for part in subject.parts:
        outwards = part.vertices_cm - part.vertices_cm.mean(axis=0)
        assert (outwards * part.normals).sum(axis=1).min() > 0


@pytest.mark.parametrize(("unit", "cm"), [("millimeter", 1.5), ("inch", 38.1), ("centimeter", 15)])
def test_3mf_states_its_unit(tmp_path: Path, unit: str, cm: float) -> None:
    path = written(tmp_path, BOX.copy().apply_scale(50), "box.3mf")
    with zipfile.ZipFile(path) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in files.items():
            plain = re.sub(rb' unit="\w+"', b"", content)
            archive.writestr(name, plain.replace(b"<model ", f'<model unit="{unit}" '.encode(), 1))
    assert subject_in(path).height_cm == pytest.approx(cm, rel=1e-5)


OBJ = """mtllib box.mtl
v 0 0 0
v 1 0 0
v 0 1 0
v 0 0 1
o hull
usemtl brass
f 1 3 2
f 1 2 4
o glass
usemtl blue
f -4 -1 -2
f 2 3 4
"""
MTL = "newmtl brass\nKd 0.8 0.6 0.2\nnewmtl blue\nKd 0.8 0.8 0.8\n"


def test_obj_gives_parts_with_the_colours_that_somebody_chose(tmp_path: Path) -> None:
    (tmp_path / "box.obj").write_text(OBJ)
    (tmp_path / "box.mtl").write_text(MTL)
    subject = subject_in(tmp_path / "box.obj", **HEIGHT)
    assert {part.name: part.colour for part in subject.parts} == {"hull": "#cc9933", "glass": None}


def test_a_part_answers_to_its_material_too(tmp_path: Path) -> None:
    (tmp_path / "box.obj").write_text(OBJ)
    (tmp_path / "box.mtl").write_text(MTL)
    subject = subject_in(tmp_path / "box.obj", **HEIGHT)
    assert [part.name for part in subject.matching("BRA*")] == ["hull"]
    assert [part.name for part in subject.matching("glass")] == ["glass"]


def test_one_object_of_several_materials_is_told_apart_by_them(tmp_path: Path) -> None:
    (tmp_path / "box.obj").write_text(OBJ.replace("o glass", "o hull"))
    (tmp_path / "box.mtl").write_text(MTL + "map_Kd blue.png\n")
    subject = subject_in(tmp_path / "box.obj", **HEIGHT)
    assert names(subject) == ["hull brass", "hull blue"]


def test_a_material_whose_picture_is_missing_keeps_its_colour_and_says_so(tmp_path: Path) -> None:
    (tmp_path / "box.obj").write_text(OBJ)
    (tmp_path / "box.mtl").write_text(MTL.replace("newmtl blue", "map_Kd brass.png\nnewmtl blue"))
    subject = subject_in(tmp_path / "box.obj", **HEIGHT)
    assert {part.name: part.colour for part in subject.parts} == {"hull": "#cc9933", "glass": None}
    assert "the file names 'brass.png', which is not beside it" in subject.notes


def test_obj_indices_that_count_backwards_count_from_their_own_line(tmp_path: Path) -> None:
    far = "\nv 0 0 9\nv 1 0 9\nv 0 1 10\no roof\nf -3 -2 -1\n"
    (tmp_path / "box.obj").write_text(OBJ + far)
    hull, glass, roof = subject_in(tmp_path / "box.obj", unit="cm").parts
    assert hull.vertices_cm[:, 2].max() == pytest.approx(1)
    assert glass.vertices_cm[:, 2].max() == pytest.approx(1)
    assert roof.vertices_cm[:, 2].min() == pytest.approx(9)


def test_a_gltf_colour_is_linear_and_becomes_the_colour_as_seen(tmp_path: Path) -> None:
    box = BOX.copy()
    material = trimesh.visual.material.PBRMaterial(baseColorFactor=[1.0, 0.2, 0.0, 1.0])
    box.visual = trimesh.visual.TextureVisuals(material=material)
    (part,) = subject_in(written(tmp_path, box, "box.glb")).parts
    assert part.colour == "#ff7c00"  # 0.2 linear is 0.4845 by IEC 61966-2-1


@pytest.mark.parametrize(("colours", "colour"), [([[10, 20, 30, 255]], "#0a141e"), (None, None)])
def test_points_of_one_colour_make_a_plain_colour(
    tmp_path: Path, colours: list[list[int]] | None, colour: str | None
) -> None:
    box = BOX.copy()
    box.visual.vertex_colors = colours * 8 if colours else np.arange(32).reshape(8, 4)
    assert subject_in(written(tmp_path, box, "box.ply"), **HEIGHT).parts[0].colour == colour


def test_points_that_no_triangle_uses_do_not_count(tmp_path: Path) -> None:
    (tmp_path / "box.off").write_text("OFF\n5 2 0\n0 0 0\n1 0 0\n0 1 0\n0 0 1\n99 99 99\n3 0 1 2\n3 0 1 3\n")
    assert subject_in(tmp_path / "box.off", unit="cm").size_cm == pytest.approx(1)


def test_a_gltf_object_of_several_materials_is_told_apart_by_them(tmp_path: Path) -> None:
    path = written(tmp_path, scene(), "tank.gltf")
    tree = json.loads(path.read_text())
    hull, turret = tree["meshes"]
    hull["primitives"] += turret["primitives"]
    tree["materials"] = [{"name": "steel"}, {"name": "sand"}]
    for number, primitive in enumerate(hull["primitives"]):
        primitive["material"] = number
    tree["nodes"] = [{"name": "tank", "mesh": 0}]
    tree["scenes"] = [{"nodes": [0]}]
    path.write_text(json.dumps(tree))
    assert names(subject_in(path, **HEIGHT)) == ["tank steel", "tank sand"]


def test_a_draco_compressed_glb_is_read(tmp_path: Path) -> None:
    ball = trimesh.creation.icosphere(3)
    trimesh.Scene(ball).export(tmp_path / "ball.glb", extension_draco=True)
    assert b"KHR_draco_mesh_compression" in (tmp_path / "ball.glb").read_bytes()
    subject = subject_in(tmp_path / "ball.glb", **HEIGHT)
    assert sum(len(part.faces) for part in subject.parts) == len(ball.faces)
