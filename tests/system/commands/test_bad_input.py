"""Wrong input: one clear sentence on stderr, exit status 2, no traceback, nothing half-written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import trimesh

from tests.support.command import run

ARRANGEMENT = 'format = 1\n[subject]\nmesh = "box.stl"\nheight_cm = 10\n'
LAMP = '[[lamps]]\nname = "a"\nsize_cm = [10, 10]\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    trimesh.creation.box((4, 4, 10)).export(tmp_path / "box.stl")
    (tmp_path / "text.stl").write_text("this is a shopping list\n")
    (tmp_path / "empty.stl").write_bytes(b"\0" * 84)
    (tmp_path / "cut.stl").write_bytes((tmp_path / "box.stl").read_bytes()[:200])
    (tmp_path / "nan.obj").write_text("v nan 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n")
    (tmp_path / "point.obj").write_text("v 1 1 1\nv 1 1 1\nv 1 1 1\nf 1 2 3\n")
    (tmp_path / "notes.docx").write_text("x")
    return tmp_path


def _toml(text: str) -> Callable[[Path], None]:
    def write(folder: Path) -> None:
        (folder / "a.toml").write_text(text)

    return write


# what has to be there, the command, what the message has to name
CASES: dict[str, tuple[Callable[[Path], None] | None, tuple[str, ...], tuple[str, ...]]] = {
    "mesh missing": (None, ("sheet", "gone.stl", "--height-cm", "10"), ("gone.stl",)),
    "arrangement missing": (None, ("sheet", "gone.toml"), ("gone.toml", "no such file")),
    "neither arrangement nor mesh": (None, ("sheet", "notes.docx"), ("notes.docx", "stl")),
    "not a mesh": (None, ("sheet", "text.stl", "--height-cm", "10"), ("text.stl",)),
    "empty mesh": (None, ("sheet", "empty.stl", "--height-cm", "10"), ("empty.stl",)),
    "broken mesh": (None, ("sheet", "cut.stl", "--height-cm", "10"), ("cut.stl",)),
    "no unit and no size": (None, ("sheet", "box.stl"), ("box.stl", "--height-cm", "height_cm =")),
    "not-a-number vertices": (None, ("sheet", "nan.obj", "--height-cm", "10"), ("nan.obj",)),
    "zero size": (None, ("sheet", "point.obj", "--height-cm", "10"), ("point.obj",)),
    "unknown setup": (None, ("proof", "rembrant", "box.stl", "--height-cm", "10"), ("rembrant", "'rembrandt'")),
    "unknown finish": (None, ("sheet", "box.stl", "--height-cm", "9", "--finish", "sattin"), ("sattin", "'satin'")),
    "TOML syntax": (_toml("format = 1\ntitle = \n"), ("sheet", "a.toml"), ("a.toml", "line 2")),
    "unknown key": (_toml(ARRANGEMENT + "heigth_cm = 3\n"), ("sheet", "a.toml"), ("subject.heigth_cm", "'height_cm'")),
    "wrong type": (
        _toml(ARRANGEMENT + '[camera]\nfill_frame = "big"\n'),
        ("sheet", "a.toml"),
        ("camera.fill_frame", "big"),
    ),
    "negative lumens": (
        _toml(ARRANGEMENT + LAMP + "lumens = -5\n"),
        ("sheet", "a.toml"),
        ('lamps[1] "a": lumens', "-5"),
    ),
    "kelvin out of range": (
        _toml(ARRANGEMENT + LAMP + "kelvin = 90000\n"),
        ("sheet", "a.toml"),
        ('lamps[1] "a": kelvin', "90000", "25000"),
    ),
    "lamp inside the subject": (
        _toml(ARRANGEMENT + LAMP + "at_cm = [0, 0, 5]\naim_cm = [0, 0, 9]\n"),
        ("sheet", "a.toml", "--setup", "as-placed"),
        ("a.toml: lamp 'a'", "inside the subject"),
    ),
    "lamp below the table": (
        _toml(ARRANGEMENT + LAMP + "at_cm = [0, -30, -5]\naim_cm = [0, 0, 5]\n"),
        ("sheet", "a.toml", "--setup", "as-placed"),
        ("a.toml: lamp 'a'", "below the table"),
    ),
    "camera inside the subject": (
        _toml(ARRANGEMENT + "[camera]\ndistance_cm = 2\n"),
        ("sheet", "a.toml"),
        ("a.toml: camera.distance_cm", "inside the subject"),
    ),
    "gloss out of reach": (
        None,
        ("sheet", "box.stl", "--height-cm", "9", "--finish", "95"),
        ("--finish 95", "89 or less"),
    ),
    "two sizes": (None, ("sheet", "box.stl", "--height-cm", "9", "--length-cm", "4"), ("height_cm", "length_cm")),
    "mesh outside the folder": (
        _toml(ARRANGEMENT.replace("box", "../box")),
        ("sheet", "a.toml"),
        ("../box.stl", "folder"),
    ),
    "colour of a wash outside the folder": (
        _toml(ARRANGEMENT + '[subject.wash]\ncolour = "../x.csv"\n'),
        ("sheet", "a.toml"),
        ('a.toml: subject.wash.colour = "../x.csv"', "folder"),
    ),
    "a strip's file missing": (
        _toml(ARRANGEMENT + '[[subject.parts]]\nmatch = "hull"\n'),
        ("strip", "subject.parts.hull.base=a.csv,b.csv", "a.toml", "--setup", "loop"),
        ('a.toml: subject.parts[1].base = "a.csv"', "no such file"),
    ),
    "a strip's file outside the folder": (
        _toml(ARRANGEMENT + '[[subject.parts]]\nmatch = "hull"\n'),
        ("strip", "subject.parts.hull.base=../a.csv,b.csv", "a.toml", "--setup", "loop"),
        ('a.toml: subject.parts[1].base = "../a.csv"', "folder"),
    ),
    "no meters": (_toml(ARRANGEMENT), ("meter", "a.toml"), ("[[meters]]",)),
    "sheet too short": (
        _toml(ARRANGEMENT + "[backdrop]\nsheet_cm = [30, 20]\n"),
        ("sheet", "a.toml"),
        ("a.toml: backdrop.sheet_cm",),
    ),
    "odd size": (None, ("sheet", "box.stl", "--height-cm", "9", "--size", "big"), ("--size big", "480x640")),
    "an export of no kind": (
        None,
        ("export", "loop", "box.stl", "--height-cm", "9", "--out", "a.png"),
        ("--out a.png", ".xyz.exr", ".tiff"),
    ),
    "an export to a folder": (
        lambda folder: (folder / "a.exr").mkdir(),
        ("export", "loop", "box.stl", "--height-cm", "9", "--out", "a.exr"),
        ("--out a.exr", "is a folder"),
    ),
    "an export into a file": (
        None,
        ("export", "loop", "box.stl", "--height-cm", "9", "--out", "box.stl/a.exr"),
        ("--out box.stl: cannot be written to",),
    ),
    "an export of a lamp that is not there": (
        None,
        ("export", "loop", "box.stl", "--height-cm", "9", "--out", "a.exr", "--lamp", "kye"),
        ("--lamp kye", "'loop'", "'key'"),
    ),
    "unknown list": (None, ("list", "lenses"), ("lenses",)),
    "new over an arrangement that is there": (
        _toml(ARRANGEMENT),
        ("new", "box.stl", "--height-cm", "9", "--out", "a.toml"),
        ("a.toml", "there already"),
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_wrong_input_is_told_in_one_sentence_with_exit_status_2(case: str, folder: Path) -> None:
    prepare, words, told = CASES[case]
    if prepare is not None:
        prepare(folder)
    before = sorted(p.name for p in folder.iterdir())
    ran = run(folder, *words)
    assert ran.returncode == 2, ran.stderr
    assert "Traceback" not in ran.stderr
    assert ran.stdout == ""
    for part in told:
        assert part in ran.stderr
    if not ran.stderr.startswith("Usage:"):
        assert len(ran.stderr.strip().splitlines()) == 1
        assert ran.stderr.startswith("spruelight: ")
    assert sorted(p.name for p in folder.iterdir()) == before


def test_an_output_folder_that_cannot_be_written_is_told_before_anything_is_traced(folder: Path) -> None:
    (folder / "file").write_text("in the way")
    ran = run(folder, "sheet", "box.stl", "--height-cm", "9", "--out", "file/sheet", cache=folder / "cache")
    assert ran.returncode == 2
    assert "--out file/sheet: cannot be written to" in ran.stderr
    assert not (folder / "cache").exists()


def test_a_mesh_read_only_folder_is_told_by_new(folder: Path) -> None:
    ran = run(folder, "new", "box.stl", "--height-cm", "9", "--out", "elsewhere/a.toml")
    assert ran.returncode == 2
    assert "folder of its mesh" in ran.stderr
