"""The arrangement that `new` writes is valid whatever names the mesh has."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from gallery.inputs import open_input
from gallery.starter import starter
from gallery.starter.starter import write_starter
from scenes.arrangement.resolving import read_arrangement
from scenes.errors import InputError

ODD = 'a"\\\x07\x1b[2J\x7f\x9b'


@pytest.fixture(autouse=True)
def _no_drawings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(starter, "write_drawings", lambda *_: ())


def written_obj(path: Path, *names: str) -> Path:
    box = trimesh.creation.box((4, 4, 10))
    corners = "".join(f"v {x} {y} {z}\n" for x, y, z in box.vertices)
    faces = "".join(f"f {a} {b} {c}\n" for a, b, c in box.faces + 1)
    path.write_text(corners + "".join(f"o {name}\n{faces}" for name in names), encoding="utf-8")
    return path


def test_control_characters_of_names_do_not_reach_the_file(tmp_path: Path) -> None:
    mesh = written_obj(tmp_path / "\x1bodd\x7f.obj", ODD, "turret [1]")
    path, _, _ = write_starter(mesh, None, {"height_cm": 9.0})
    text = path.read_bytes().decode()
    assert [c for c in text if not c.isprintable() and c != "\n"] == []
    assert tomllib.loads(text)["subject"]["mesh"] == mesh.name
    assert read_arrangement(path).title == r"\x1bodd\x7f"


def test_the_hero_that_it_offers_answers_to_its_name(tmp_path: Path) -> None:
    path, _, _ = write_starter(written_obj(tmp_path / "a.obj", ODD, "b"), None, {"height_cm": 9.0})
    (line,) = [line for line in path.read_text(encoding="utf-8").splitlines() if line.startswith("# hero = ")]
    assert tomllib.loads(line.removeprefix("# "))["hero"] == ODD


def test_of_many_parts_the_first_are_named_and_how_many_more_there_are(tmp_path: Path) -> None:
    mesh = written_obj(tmp_path / "a.obj", *(f"part {i:02}" for i in range(43)))
    text = write_starter(mesh, None, {"height_cm": 9.0}).arrangement.read_text(encoding="utf-8")
    assert "#   part 38\n#   part 39\n#   and 3 more\n\n" in text


def test_the_arrangement_of_a_stand_in_has_a_name_that_every_disk_takes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    path = write_starter(Path("stand-in:spoon"), None, {}).arrangement
    assert str(path) == "spoon.toml"
    subject = read_arrangement(path).subject
    assert subject is not None
    assert subject.mesh == "stand-in:spoon"


def starter_of_box(folder: Path, size: tuple[float, float, float], **sizing: Any) -> list[str]:
    trimesh.creation.box(size).export(folder / "a.stl")
    path, _, _ = write_starter(folder / "a.stl", None, sizing)
    assert read_arrangement(path).subject is not None
    return path.read_text(encoding="utf-8").splitlines()


def test_the_kind_and_the_way_it_faces_are_offered_as_guessed_and_set_where_given(tmp_path: Path) -> None:
    guessed = starter_of_box(tmp_path, (7, 18, 5), length_cm=18.0)
    assert [line.split("  ")[0] for line in guessed if "kind = " in line][:1] == ['# kind = "vehicle"']
    assert [line.split("  ")[0] for line in guessed if "faces_deg" in line] == ["# faces_deg = 40"]
    (tmp_path / "a.toml").unlink()
    given = starter_of_box(tmp_path, (7, 18, 5), length_cm=18.0, kind="ship", faces_deg=0.0)
    assert [line.split("  ")[0] for line in given if "kind = " in line][:1] == ['kind = "ship"']
    assert [line.split("  ")[0] for line in given if "faces_deg" in line] == ["faces_deg = 0"]


def test_a_vehicle_that_lies_across_is_written_with_its_nose_at_an_end_and_the_other_is_named(tmp_path: Path) -> None:
    (line,) = [line for line in starter_of_box(tmp_path, (18, 7, 5), length_cm=18.0) if "front = " in line]
    assert line.startswith('front = "x" ')
    assert 'or "-x", its other end' in line


def lying_cone(folder: Path) -> Path:
    """Return a cone in a file whose y points up, where z is taken for it."""
    cone = trimesh.creation.cone(3, 10).apply_transform(trimesh.transformations.rotation_matrix(-np.pi / 2, [1, 0, 0]))
    cone.export(folder / "a.stl")
    return folder / "a.stl"


def test_a_guess_is_written_down_as_one_and_its_size_is_along_it(tmp_path: Path) -> None:
    path, _, (_, guess, _) = write_starter(lying_cone(tmp_path), None, {"height_cm": 10.0})
    assert guess.startswith("--up y was guessed (")
    reason = guess.split("(")[1].split(")")[0]
    (line,) = [line for line in path.read_text(encoding="utf-8").splitlines() if line.startswith("up = ")]
    assert line.startswith('up = "y" ')
    assert f"guessed: {reason}" in line
    opened = open_input(path, {})
    assert opened.dimensions_cm == pytest.approx((6, 6, 10), rel=0.01)


@pytest.mark.parametrize("given", [{"up": "z"}, {"front": "x"}, {"up": "x", "front": "y"}])
def test_axes_that_are_given_are_not_guessed_and_the_others_are_the_usual(
    given: dict[str, str], tmp_path: Path
) -> None:
    path, _, notes = write_starter(lying_cone(tmp_path), None, {"height_cm": 10.0, **given})
    assert not any("guessed" in note for note in notes)
    assert any("which side is its front" in note for note in notes) == ("front" not in given)
    subject = read_arrangement(path).subject
    assert subject is not None
    assert (subject.up, subject.front) == (given.get("up"), given.get("front"))


def test_an_arrangement_that_is_there_is_left_and_the_way_to_its_pictures_is_stated(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text("mine")
    with pytest.raises(InputError, match=r"spruelight check a\.toml --picture"):
        write_starter(lying_cone(tmp_path), None, {"height_cm": 10.0})
    assert (tmp_path / "a.toml").read_text() == "mine"


def test_a_mesh_whose_name_is_no_text_is_refused(tmp_path: Path) -> None:
    mesh = tmp_path / "\udcff.stl"
    trimesh.creation.box((4, 4, 10)).export(tmp_path / "box.stl")
    (tmp_path / "box.stl").rename(mesh)
    with pytest.raises(InputError, match="its name is no text"):
        write_starter(mesh, None, {"height_cm": 9.0})
    assert list(tmp_path.iterdir()) == [mesh]


@pytest.mark.parametrize(
    ("sizing", "lines"),
    [
        ({"unit": "mm"}, ['unit = "mm"                 # the unit of the mesh file']),
        ({"scale": "1:35", "real_height_m": 1.8}, ['scale = "1:35" ', "real_height_m = 1.8"]),
        ({"length_cm": 18.0}, ["length_cm = 18 "]),
    ],
)
def test_the_size_is_written_as_it_was_given(tmp_path: Path, sizing: dict[str, Any], lines: list[str]) -> None:
    found = starter_of_box(tmp_path, (70, 180, 50), **sizing)
    written = [line for line in found if line.startswith(("unit", "scale", "real_", "height_cm", "length_cm"))]
    assert [line.startswith(start) for line, start in zip(written, lines, strict=True)] == [True] * len(lines)


def test_it_says_the_three_measures_and_what_to_write_where_the_back_is_in_front(tmp_path: Path) -> None:
    trimesh.creation.box((7, 18, 5)).export(tmp_path / "a.stl")
    size, front = write_starter(tmp_path / "a.stl", None, {"length_cm": 18.0}).notes
    assert size == "7 cm wide, 18 cm long, 5 cm tall; long is from front to back"
    assert front.endswith('write front = "y" into a.toml')


def test_a_size_by_the_unit_of_the_file_is_written_as_that(tmp_path: Path) -> None:
    trimesh.creation.box((0.1, 0.18, 0.1)).export(tmp_path / "a.glb")
    path = write_starter(tmp_path / "a.glb", None, {}).arrangement
    (line,) = [line for line in path.read_text(encoding="utf-8").splitlines() if line.startswith("height_cm")]
    assert line == "height_cm = 18              # by the metres of its file: what does the real model measure?"
