"""Meshes that nobody here made, loaded as their builders have them, with what was repaired said in words."""

from __future__ import annotations

from importlib.metadata import files
from pathlib import Path

import numpy as np
import pytest
import trimesh

from scenes.subject.subject import Subject
from tests.support.arrangements import subject_in
from tests.support.third_party import BUILD123D, MESHIO, PYGLET, PYVISTA, Package

pytestmark = pytest.mark.slow
TEN_CM = {"height_cm": 10}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("packages")


def loaded(package: Package, member: str, folder: Path) -> Subject:
    return subject_in(package.unpacked(member, folder), **TEN_CM)


def bunny() -> Path:
    """Return the scanned bunny of the Stanford repository that pymeshfix ships."""
    found = next(file for file in files("pymeshfix") or [] if file.name == "StanfordBunny.ply")
    return Path(str(found.locate()))


def test_a_scanned_bunny_in_ply_from_pymeshfix() -> None:
    """GPL 3 by the LICENSE of pymeshfix, AGPL 3 by its metadata; the bunny has terms of its own."""
    subject = subject_in(bunny(), **TEN_CM)
    assert sum(len(part.faces) for part in subject.parts) == 99785
    assert subject.notes == (
        "part 'model' is not closed: 353 edges of one triangle only",
        "part 'model' has 132 edges of more than two triangles",
    )


def test_a_zippered_scan_in_ply_from_meshio(folder: Path) -> None:
    """meshio: MIT."""
    subject = loaded(MESHIO, "meshio-5.3.5/tests/meshes/ply/bun_zipper_res4.ply", folder)
    assert subject.notes == (
        "part 'model' had 40 triangles twice, of which one was kept",
        "part 'model' had 3 triangles that looked the other way and were turned",
        "part 'model' is not closed: 55 edges of one triangle only",
        "part 'model' has 47 edges of more than two triangles",
    )


def test_an_animal_in_obj_from_meshio_is_taken_apart_where_it_hangs_together(folder: Path) -> None:
    """meshio: MIT."""
    subject = loaded(MESHIO, "meshio-5.3.5/tests/meshes/obj/elephav.obj", folder)
    assert [part.name for part in subject.parts] == ["piece 1", "piece 2", "piece 3"]
    assert "part 'piece 1' had 5 triangles twice, of which one was kept" in subject.notes


@pytest.mark.parametrize(("name", "parts", "triangles"), [("airplane", 7, 2452), ("ant", 15, 912), ("nut", 1, 1046)])
def test_plys_from_pyvista(folder: Path, name: str, parts: int, triangles: int) -> None:
    """pyvista: MIT."""
    subject = loaded(PYVISTA, f"pyvista/examples/{name}.ply", folder)
    assert len(subject.parts) == parts
    assert sum(len(part.faces) for part in subject.parts) == triangles
    assert subject.height_cm == pytest.approx(10)
    sound = name != "airplane"
    assert (
        subject.notes == () if sound else "7 parts are not closed: 223 edges of one triangle only" in subject.notes[0]
    )


def test_a_textured_box_in_obj_from_pyglet(folder: Path) -> None:
    """pyglet: BSD."""
    subject = loaded(PYGLET, "pyglet-3.0.dev9/examples/model/box.obj", folder)
    (part,) = subject.parts
    assert part.colour_map is not None
    assert part.colour_map.picture is not None
    assert part.colour_map.picture.shape == (128, 128, 3)
    assert part.colour_map.corners.shape == (12, 3, 2)
    assert any("its colours come from a picture" in note for note in subject.notes)


def test_a_tea_cup_in_glb_from_build123d(folder: Path) -> None:
    """build123d: Apache 2.0."""
    subject = loaded(BUILD123D, "build123d-0.9.1/docs/_static/tea_cup.glb", folder)
    assert len(subject.parts) == 28
    assert {part.colour for part in subject.parts} == {"#f0efee"}
    assert subject.notes[0].startswith("28 parts are not closed: 3590 edges of one triangle only (")


def test_a_coloured_token_in_glb_from_build123d(folder: Path) -> None:
    """build123d: Apache 2.0. A label as "=>[0:1:1:2]" gives way to the name of the mesh."""
    subject = loaded(BUILD123D, "build123d-0.9.1/docs/_static/heart_token.glb", folder)
    assert len(subject.parts) == 24
    assert {part.colour for part in subject.parts} == {"#cb0000"}
    assert subject.parts[0].name == "COMPOUND mat_0"
    assert subject.notes[0].startswith("24 parts are not closed: 1848 edges of one triangle only (")


def test_a_binary_stl_with_slivers_from_build123d(folder: Path) -> None:
    """build123d: Apache 2.0."""
    subject = loaded(BUILD123D, "build123d-0.9.1/tests/cyl_w_rect_hole.stl", folder)
    assert subject.notes[0] == "part 'model' had 46 triangles without area, which were left out"
    np.testing.assert_allclose(subject.bounds_cm[0, 2], 0, atol=1e-5)


@pytest.mark.parametrize("kind", ["off", "3mf", "stl", "obj", "glb", "gltf"])
def test_a_mesh_from_pyvista_written_by_trimesh_is_found_to_be_what_it_was(
    folder: Path, tmp_path: Path, kind: str
) -> None:
    """pyvista, trimesh: MIT. No package has an OFF or a 3MF that is small and free."""
    source = PYVISTA.unpacked("pyvista/examples/airplane.ply", folder)
    written = tmp_path / f"airplane.{kind}"
    made = trimesh.load(source, process=False).export(file_type=kind)
    for name, content in (made if isinstance(made, dict) else {written.name: made}).items():
        (tmp_path / name.replace("model", "airplane")).write_bytes(
            content if isinstance(content, bytes) else content.encode()
        )
    first, second = subject_in(source, **TEN_CM), subject_in(written, **TEN_CM, up="z")
    assert second.notes == first.notes
    assert [len(part.faces) for part in second.parts] == [len(part.faces) for part in first.parts]
    np.testing.assert_allclose(second.bounds_cm, first.bounds_cm, atol=1e-4)
