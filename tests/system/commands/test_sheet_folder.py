"""`spruelight sheet FOLDER` as a person types it: a sheet of each arrangement, and an index of them."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from gallery.files.pictures import read_picture
from tests.support.command import Ran, run

TINY = ("--setup", "loop", "--size", "24x32")


@pytest.fixture
def club(tmp_path: Path) -> Path:
    """Return a folder to run in; below it are two arrangements of one mesh and of one kit, and one that is broken."""
    trimesh.creation.capsule(height=6, radius=2).export(tmp_path / "pill.stl")
    (tmp_path / "club/pills").mkdir(parents=True)
    (tmp_path / "pill.stl").rename(tmp_path / "club/pills/pill.stl")
    pill = 'kit = "lamps.toml"\n[subject]\nmesh = "pill.stl"\nheight_cm = 9\n'
    for name, text in {
        "pills/pill.toml": pill,
        "pills/shiny.toml": f'{pill}topcoat = "gloss"\n',
        "pills/lamps.toml": '[[lamps]]\nname = "desk panel"\npreset = "desk panel"\n',
        "broken.toml": '[subject]\nmesh = "gone.stl"\nheight_cm = 9\n',
    }.items():
        (tmp_path / "club" / name).write_text(text, encoding="utf-8")
    return tmp_path


def facts(folder: Path) -> dict[str, Any]:
    read: dict[str, Any] = json.loads((folder / "sheet/index.json").read_text(encoding="utf-8"))
    return read


def states(folder: Path) -> dict[str, str]:
    return {entry["folder"]: entry["state"] for entry in facts(folder)["arrangements"]}


def sheet(folder: Path, *words: str) -> Ran:
    return run(folder, "sheet", "club", *TINY, *words)


@pytest.mark.slow
def test_each_arrangement_has_its_sheet_the_index_names_all_and_what_fails_costs_no_other(club: Path) -> None:
    ran = sheet(club)
    assert ran.returncode == 1
    printed = [Path(line).as_posix() for line in ran.stdout.splitlines()]
    assert printed == ["sheet/pills--pill/sheet.png", "sheet/pills--shiny/sheet.png", "sheet/index.html"]
    assert all((club / path).is_file() for path in printed)
    assert states(club) == {"broken": "failed", "pills--pill": "made", "pills--shiny": "made"}
    (broken, *_) = facts(club)["arrangements"]
    assert len(broken["failure"]) == 1
    assert "there is no such file" in broken["failure"][0]
    notes = ran.stderr.splitlines()
    assert notes[0] == broken["failure"][0]  # before the first is made
    assert notes[-2:] == ["2 of 3 sheets made, 1 failed", f"spruelight: {broken['failure'][0]}"]


@pytest.mark.slow
def test_it_goes_on_where_it_stopped_and_makes_the_same_pictures_as_alone(club: Path) -> None:
    first = sheet(club, "--json")
    assert json.loads(first.stdout) == facts(club)
    again = sheet(club)
    assert [line for line in again.stderr.splitlines() if line.startswith("traced")] == 2 * [
        "traced nothing, reused 1 lamp image"
    ]
    alone = run(club, "sheet", "club/pills/shiny.toml", *TINY, "--out", "alone")
    assert alone.returncode == 0
    shared, own = (
        read_picture(club / folder / "frames/loop--as-built.png") for folder in ("sheet/pills--shiny", "alone")
    )
    np.testing.assert_array_equal(shared, own)


@pytest.mark.slow
def test_sheets_that_go_on_in_turn_are_those_of_one_run_each(club: Path, tmp_path: Path) -> None:
    goal = ("--grain", "0.15%")
    tiny = club / "club/pills/shiny.toml"
    tiny.write_text(tiny.read_text(encoding="utf-8").replace("height_cm = 9", "height_cm = 0.8"), encoding="utf-8")
    ran = sheet(club, *goal)
    assert sum("check the size" in line for line in ran.stderr.splitlines()) == 1  # and not at each visit
    assert re.search(r"^grain left: .* %; as fine as --quality fine, 0\.3 %$", ran.stderr, re.MULTILINE)
    pills = [line.partition(":")[0] for line in ran.stderr.splitlines() if "pills/" in line and " of " in line]
    assert pills[:4] == ["draft, 1 of 3", "draft, 2 of 3", "to round 2, 1 of 2", "to round 2, 2 of 2"]
    words = ("sheet", "club/pills/pill.toml", *TINY, *goal, "--out", "alone")
    alone = run(club, *words, cache=tmp_path / "cache of its own")
    assert alone.returncode == 0
    made, own = (json.loads((club / name / "sheet.json").read_text()) for name in ("sheet/pills--pill", "alone"))
    assert made["made_from"].pop("file") != own["made_from"].pop("file")
    assert made == own
    assert made["made_from"]["rounds"] > 3
    for name in ("sheet.png", "frames/loop--as-built.png"):
        assert (club / "sheet/pills--pill" / name).read_bytes() == (club / "alone" / name).read_bytes()
    (_, first, second) = facts(club)["arrangements"]
    assert [frame["grain_percent"] <= 0.15 for frame in (*first["frames"], *second["frames"])] == [True, True]


@pytest.mark.slow
def test_a_size_is_for_the_meshes_that_no_arrangement_names(club: Path) -> None:
    (club / "club/pills/pill.stl").rename(club / "club/other.stl")
    ran = sheet(club, "--height-cm", "5")
    assert ran.returncode == 1
    assert states(club) == {
        "broken": "failed", "other-stl": "made", "pills--pill": "failed", "pills--shiny": "failed",
    }  # fmt: skip
    made_from = json.loads((club / "sheet/other-stl/sheet.json").read_text(encoding="utf-8"))["made_from"]
    assert made_from["sizing"] == {"height_cm": 5.0}
    assert run(club, "page", "sheet/other-stl").returncode == 0


def test_a_folder_of_which_all_is_wrong_is_wrong_input(club: Path) -> None:
    (club / "club/pills/pill.stl").unlink()
    ran = sheet(club)
    assert ran.returncode == 2
    assert set(states(club).values()) == {"failed"}
    assert (club / "sheet/index.html").is_file()


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--setup", "rembrant"), "no setup is called 'rembrant' (did you mean 'rembrandt'?)"),
        (("--finish", "mat-ish"), "no finish is called 'mat-ish'"),
        (("--unit", "mm"), "club: a size on the command line is for meshes that no arrangement names"),
        (("--out", "taken"), "--out taken: has an index.html that is not spruelight's; name another folder"),
        (("--out", "taken/index.html"), "--out taken/index.html: cannot be written to"),
    ],
)
def test_what_is_wrong_for_all_is_said_at_once(club: Path, words: tuple[str, ...], sentence: str) -> None:
    (club / "taken").mkdir()
    (club / "taken/index.html").touch()
    ran = run(club, "sheet", "club", *words)
    assert ran.returncode == 2
    assert ran.stderr.startswith(f"spruelight: {sentence}")
    assert ran.stdout == ""
    assert not list(club.rglob("sheet.json"))
