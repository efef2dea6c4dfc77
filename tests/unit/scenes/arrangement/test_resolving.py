"""The subject that an arrangement declares, found beside it and nowhere else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import demo_arrangement, resolve
from scenes.errors import InputError
from scenes.progress import Progress, no_progress
from scenes.subject.subject import Subject
from tests.support.arrangements import SOURCE


def declaring(**subject: Any) -> Arrangement:
    return fill_model({"subject": subject}, Arrangement, SOURCE)


def subject_of(declared: Arrangement, folder: Path, *, progress: Progress = no_progress) -> Subject | None:
    return resolve(declared, Folder(folder, SOURCE), progress=progress).subject


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with a mesh in it, in one below it, and in the one above it."""
    inner = tmp_path / "build"
    (inner / "meshes").mkdir(parents=True)
    for place in (tmp_path, inner, inner / "meshes"):
        trimesh.creation.box((10, 20, 30)).export(place / "box.stl")
    return inner


def test_nothing_declared_is_an_empty_table(tmp_path: Path) -> None:
    assert subject_of(Arrangement(), tmp_path) is None


@pytest.mark.parametrize("mesh", ["box.stl", "meshes/box.stl", "./box.stl"])
def test_a_mesh_in_the_folder_or_below_it_is_loaded_as_declared(folder: Path, mesh: str) -> None:
    subject = subject_of(declaring(mesh=mesh, unit="mm", up="x", faces_deg=90), folder)
    assert subject is not None
    low, high = subject.bounds_cm
    assert (high - low).tolist() == pytest.approx([2, 3, 1])


def test_a_size_scales_the_mesh(folder: Path) -> None:
    subject = subject_of(declaring(mesh="box.stl", height_cm=15), folder)
    assert subject is not None
    assert subject.height_cm == pytest.approx(15)


@pytest.mark.parametrize(
    "mesh",
    [
        "../box.stl",
        "meshes/../../box.stl",
        "/etc/passwd",
        "C:/box.stl",
        "C:box.stl",
        "..\\box.stl",
        "\\\\host\\box.stl",
    ],
)
def test_a_mesh_outside_the_folder_is_refused(folder: Path, mesh: str) -> None:
    with pytest.raises(InputError) as caught:
        subject_of(declaring(mesh=mesh, unit="mm"), folder)
    assert str(caught.value) == (
        f'{SOURCE}: subject.mesh = "{mesh}" leaves the arrangement\'s folder; put the mesh beside the arrangement, '
        "or in a folder below it, and name it from there"
    )


def test_a_link_that_leads_outside_the_folder_is_refused(folder: Path) -> None:
    (folder / "linked.stl").symlink_to(folder.parent / "box.stl")
    with pytest.raises(InputError, match="leaves the arrangement's folder"):
        subject_of(declaring(mesh="linked.stl", unit="mm"), folder)


def test_a_folder_that_is_itself_reached_by_a_link_is_no_way_out(folder: Path, tmp_path: Path) -> None:
    linked = tmp_path / "linked"
    linked.symlink_to(folder, target_is_directory=True)
    assert subject_of(declaring(mesh="box.stl", unit="mm"), linked) is not None


@pytest.mark.parametrize("mesh", ["a\0b.stl", "none.stl", "meshes"])
def test_a_mesh_that_is_not_there_is_told_by_its_name(folder: Path, mesh: str) -> None:
    with pytest.raises(InputError) as caught:
        subject_of(declaring(mesh=mesh, unit="mm"), folder)
    assert mesh.rsplit("/", 1)[-1] in str(caught.value)


def test_an_unknown_built_in_model_is_told() -> None:
    with pytest.raises(InputError) as caught:
        subject_of(declaring(mesh="demo:divr"), Path())
    assert str(caught.value) == "no built-in model is called 'demo:divr' (did you mean 'demo:diver'?)"


def test_the_demo_arrangement_names_parts_that_the_demo_model_has() -> None:
    arrangement = demo_arrangement()
    subject = subject_of(arrangement, Path())
    assert subject is not None
    assert arrangement.subject is not None
    assert subject.height_cm == pytest.approx(arrangement.subject.height_cm)
    assert subject.matching(arrangement.subject.hero or "")
    for pattern in [*arrangement.subject.no_topcoat, *(part.match for part in arrangement.subject.parts)]:
        assert subject.matching(pattern), pattern


def test_several_files_of_one_model_are_loaded_together(folder: Path) -> None:
    (folder / "lid.stl").write_bytes((folder / "box.stl").read_bytes())
    subject = subject_of(declaring(mesh=["box.stl", "lid.stl"], unit="mm"), folder)
    assert subject is not None
    assert [part.name for part in subject.parts] == ["box", "lid"]
    with pytest.raises(InputError, match="leaves the arrangement's folder"):
        subject_of(declaring(mesh=["box.stl", "../box.stl"], unit="mm"), folder)


def test_a_built_in_model_stands_alone(folder: Path) -> None:
    with pytest.raises(InputError, match="a built-in model stands alone; name it, or files"):
        subject_of(declaring(mesh=["box.stl", "demo:diver"], unit="mm"), folder)


def test_scale_hiding_plinth_and_triangles_are_taken_into_account(folder: Path) -> None:
    ball, bolt = trimesh.creation.icosphere(4), trimesh.creation.box((1, 1, 1)).apply_translation((0, 0, 2))
    trimesh.util.concatenate([ball, bolt]).export(folder / "ball.stl")
    declared = declaring(
        mesh="ball.stl", scale="1:20", real_height_m=2, hide=["piece 2"], triangles=2000,
        plinth={"height_cm": 1, "base": "#112233"},
    )  # fmt: skip
    subject = subject_of(declared, folder)
    assert subject is not None
    assert [part.name for part in subject.parts] == ["piece 1", "plinth"]
    assert len(subject.parts[0].faces) == pytest.approx(2000, abs=2)
    assert subject.model_bounds_cm[:, 2].tolist() == pytest.approx([1, 11], rel=1e-5)
    assert subject.parts[1].colour == "#112233"


def test_flattening_is_taken_into_account(folder: Path) -> None:
    ball = trimesh.creation.icosphere(3)
    shade = 60 + 180 * (1 + ball.vertices[:, 2:]) / 2
    ball.visual.vertex_colors = np.hstack([np.repeat(shade, 3, axis=1), np.full_like(shade, 255)]).astype(np.uint8)
    ball.export(folder / "scan.ply")
    spreads = []
    for amount in (0.0, 1.0):
        subject = subject_of(declaring(mesh="scan.ply", height_cm=9, flatten=amount), folder)
        assert subject is not None
        assert subject.parts[0].colour_map is not None
        spreads.append(float(np.ptp(subject.parts[0].colour_map.corners)))
    assert spreads[1] < 0.2 * spreads[0]


def test_a_long_load_says_what_it_does(folder: Path) -> None:
    told: list[str] = []
    subject_of(declaring(mesh="box.stl", unit="mm"), folder, progress=told.append)
    assert told == [
        "reading box.stl", "telling its parts apart", "cleaning part 1 of 1", "smoothing part 1 of 1"
    ]  # fmt: skip


def test_a_stand_in_has_its_usual_size_or_the_one_that_is_said() -> None:
    usual, said = (subject_of(declaring(mesh="stand-in:tank", **size), Path()) for size in ({}, {"height_cm": 5}))
    assert usual is not None
    assert said is not None
    assert usual.name == "tank"
    assert 1 < usual.size_cm < 100
    assert said.height_cm == pytest.approx(5, rel=1e-5)
    np.testing.assert_allclose(said.bounds_cm * usual.height_cm / 5, usual.bounds_cm, atol=1e-4)


def test_an_unknown_stand_in_is_told() -> None:
    with pytest.raises(InputError, match=r"no stand-in is called 'tnak' \(did you mean 'tank'\?\)"):
        subject_of(declaring(mesh="stand-in:tnak"), Path())


@pytest.mark.parametrize(
    ("mesh", "keys"),
    [
        ("stand-in:figure", {"length_cm": 30}), ("stand-in:aircraft", {"length_cm": 30}),
        ("stand-in:tank", {"length_cm": 30}), ("stand-in:figure", {"scale": "1:10", "real_length_m": 3}),
    ],
)  # fmt: skip
def test_the_length_of_a_stand_in_is_its_longest_side(folder: Path, mesh: str, keys: dict[str, Any]) -> None:
    subject = subject_of(declaring(mesh=mesh, faces_deg=0, **keys), folder)
    assert subject is not None
    assert np.ptp(subject.bounds_cm, axis=0).max() == pytest.approx(30)


@pytest.mark.parametrize("mesh", ["stand-in:figure", "demo:diver"])
@pytest.mark.parametrize(
    ("keys", "told"),
    [({"unit": "mm"}, "is built in and no file with a unit"), ({"scale": "1:35"}, "alone says no size")],
)
def test_a_built_in_model_takes_no_unit_and_no_scale_alone(
    folder: Path, mesh: str, keys: dict[str, Any], told: str
) -> None:
    with pytest.raises(InputError, match=told):
        subject_of(declaring(mesh=mesh, **keys), folder)


def test_the_model_of_another_arrangement_is_shared_where_folder_and_mesh_are_the_same(folder: Path) -> None:
    first = resolve(declaring(mesh="box.stl", unit="mm"), Folder(folder, "first.toml"))
    shared = resolve(declaring(mesh="box.stl", unit="mm", topcoat=20), Folder(folder, "other.toml"), like=first)
    assert shared.model is first.model
    assert shared.folder.source == "other.toml"
    larger = resolve(declaring(mesh="box.stl", unit="cm"), Folder(folder, "other.toml"), like=first)
    elsewhere = resolve(declaring(mesh="box.stl", unit="mm"), Folder(folder / "meshes", "other.toml"), like=first)
    assert larger.model is not None
    assert larger.model.height_cm == pytest.approx(30)
    assert elsewhere.model is not first.model
