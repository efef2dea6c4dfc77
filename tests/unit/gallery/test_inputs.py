"""What the command line names: files that the person chose may be links, files that an arrangement names may not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import trimesh

from gallery.inputs import describe_size, open_as_guessed, open_input
from scenes.errors import InputError
from tests.unit.gallery.starter.test_starter import lying_cone


@pytest.fixture
def elsewhere(tmp_path: Path) -> Path:
    """Return a mesh in a folder beside the one named build."""
    (tmp_path / "build").mkdir()
    (tmp_path / "meshes").mkdir()
    trimesh.creation.box((10, 20, 30)).export(tmp_path / "meshes" / "box.stl")
    return tmp_path / "meshes" / "box.stl"


def test_a_mesh_on_the_command_line_may_be_a_link_to_elsewhere(elsewhere: Path, tmp_path: Path) -> None:
    link = tmp_path / "build" / "mine.stl"
    link.symlink_to(elsewhere)
    arrangement = open_input(link, {"height_cm": 12})
    assert arrangement.title == "mine"
    assert arrangement.dimensions_cm == pytest.approx((4, 8, 12), rel=1e-5)


def test_a_mesh_on_the_command_line_may_lie_anywhere(
    elsewhere: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path / "build")
    for path in (elsewhere, Path("../meshes/box.stl")):
        assert open_input(path, {"height_cm": 12}).title == "box"


def test_an_arrangement_on_the_command_line_may_be_a_link_its_mesh_may_not(elsewhere: Path, tmp_path: Path) -> None:
    written, link = tmp_path / "meshes" / "a.toml", tmp_path / "build" / "a.toml"
    written.write_text('[subject]\nmesh = "box.stl"\nunit = "mm"\n')
    link.symlink_to(written)
    (tmp_path / "build" / "box.stl").symlink_to(elsewhere)
    assert open_input(written, {}).subject is not None
    with pytest.raises(InputError) as caught:
        open_input(link, {})
    assert str(caught.value).startswith(f'{link}: subject.mesh = "box.stl" leaves the arrangement\'s folder')


def test_a_mesh_that_is_not_there_is_told_by_the_path_that_was_given(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"gone\.stl is not there: check the path"):
        open_input(tmp_path / "gone.stl", {"height_cm": 12})


@pytest.mark.parametrize(
    ("part", "told"),
    [
        ('{ base = "gone.csv" }', 'subject.parts[1].base = "gone.csv": there is no such file'),
        ('{ base = "../a.csv" }', 'subject.parts[1].base = "../a.csv" leaves the arrangement\'s folder'),
        ('{ base = "list.csv" }', "subject.parts[1].base: list.csv: "),
        ('{ base = "blue" }', 'subject.parts[1].base = "blue": a colour is written '),
        ("{ metal = true, gloss = 5 }", "subject.parts[1]: metal takes roughness"),
        ("{ gloss = 5 }, { gloss = 500 }", "subject.parts[2].gloss = 500: should be 89 or less"),
    ],
)
def test_parts_are_counted_as_the_person_wrote_them_beside_a_stand_in_too(tmp_path: Path, part: str, told: str) -> None:
    (tmp_path / "list.csv").write_text("bread\nmilk\n")
    path = tmp_path / "a.toml"
    path.write_text(f'[subject]\nmesh = "stand-in:tank"\nparts = [{part}]\n')
    with pytest.raises(InputError) as caught:
        open_input(path, {})
    assert str(caught.value).startswith(f"{path}: {told}")


@pytest.mark.parametrize(
    ("written", "given", "tall"),
    [
        ("height_cm = 5", {"unit": "mm"}, 3), ('unit = "in"', {"unit": "mm"}, 3),
        ('unit = "mm"', {"height_cm": 12}, 12),
        ('scale = "1:10"\nreal_height_m = 3', {"scale": "1:20"}, 15),
        ('scale = "1:10"\nreal_height_m = 3', {"unit": "cm"}, 3),
        ("height_cm = 5", {"scale": "1:20", "real_height_m": 3.0}, 15),
    ],
)  # fmt: skip
def test_what_is_said_of_the_size_on_the_command_line_goes_before_what_the_file_says(
    elsewhere: Path, written: str, given: dict[str, Any], tall: float
) -> None:
    path = elsewhere.with_name("a.toml")
    path.write_text(f'[subject]\nmesh = "box.stl"\n{written}\n')
    dimensions = open_input(path, given).dimensions_cm
    assert dimensions is not None
    assert dimensions[2] == pytest.approx(tall)


def test_a_scale_alone_replaces_a_size_and_is_asked_what_it_is_the_scale_of(elsewhere: Path) -> None:
    path = elsewhere.with_name("a.toml")
    path.write_text('[subject]\nmesh = "box.stl"\nheight_cm = 5\n')
    with pytest.raises(InputError, match='scale = "1:35" alone says no size'):
        open_input(path, {"scale": "1:35"})


def test_a_size_by_the_file_s_own_unit_is_said(tmp_path: Path) -> None:
    trimesh.creation.box((0.1, 0.18, 0.1)).export(tmp_path / "a.glb")
    words = "18 cm tall by the metres of its file: if yours is another size, say it, as --height-cm 18"
    assert describe_size(open_input(tmp_path / "a.glb", {})) == words
    assert describe_size(open_input(tmp_path / "a.glb", {"unit": "m"})) is None


def test_a_mesh_alone_stands_as_new_would_write_it_and_an_arrangement_as_it_says(tmp_path: Path) -> None:
    mesh = lying_cone(tmp_path)
    arrangement, guess = open_as_guessed(mesh, {"height_cm": 10.0})
    assert guess is not None
    assert guess.options == "--up y"
    assert arrangement.dimensions_cm == pytest.approx((6, 6, 10), rel=0.01)
    assert open_as_guessed(mesh, {"height_cm": 10.0, "up": "z"})[1] is None
    (tmp_path / "a.toml").write_text('[subject]\nmesh = "a.stl"\nheight_cm = 10\n')
    assert open_as_guessed(tmp_path / "a.toml", {})[1] is None


@pytest.mark.parametrize(("height_cm", "is_unusual"), [(0.9, True), (1.0, False), (60.0, False), (61.0, True)])
def test_a_size_that_no_model_has_is_asked_about(height_cm: float, is_unusual: bool, tmp_path: Path) -> None:
    trimesh.creation.box((10, 20, 30)).export(tmp_path / "box.stl")
    told = describe_size(open_input(tmp_path / "box.stl", {"height_cm": height_cm}))
    assert (told is not None) is is_unusual
    if told is not None:
        assert "where a model has 1 to 60 cm" in told
