"""The command line itself: its exit status, its version, and what it lets through to a terminal."""

from __future__ import annotations

import io
import json
import sys
from importlib.metadata import version
from pathlib import Path

import pytest
import trimesh
from rich.console import Console
from rich.text import Text

from gallery.cli import main
from gallery.commands.opening import open_arrangement
from gallery.commands.options import pixels
from scenes.errors import InputError


def exit_status(monkeypatch: pytest.MonkeyPatch, *words: object) -> int:
    """Run a command in this process."""
    monkeypatch.setattr(sys, "argv", ["spruelight", *map(str, words)])
    with pytest.raises(SystemExit) as caught:
        main()
    return int(caught.value.code or 0)


def test_the_version_is_that_of_the_package(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert exit_status(monkeypatch, "--version") == 0
    assert capsys.readouterr().out == f"spruelight {version('spruelight')}\n"


def test_what_a_file_names_reaches_the_terminal_without_control_characters(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.toml"
    path.write_text('"\\u001b]0;mine\\u0007" = 1\n', encoding="utf-8")
    assert exit_status(monkeypatch, "check", path) == 2
    told = capsys.readouterr().err
    assert r"unknown key '\x1b]0;mine\x07'" in told
    assert "\x1b" not in told


def test_the_names_of_parts_reach_the_terminal_without_control_characters(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    box = trimesh.creation.box((4, 4, 10))
    corners = "".join(f"v {x} {y} {z}\n" for x, y, z in box.vertices)
    faces = "".join(f"f {a} {b} {c}\n" for a, b, c in box.faces + 1)
    (tmp_path / "a.obj").write_text(f"{corners}o \x1b[31mred\x1b[0m\n{faces}", encoding="utf-8")
    assert exit_status(monkeypatch, "check", tmp_path / "a.obj", "--height-cm", "9") == 0
    told = capsys.readouterr().out
    assert r"\x1b[31mred\x1b[0m" in told
    assert "\x1b" not in told


def test_a_book_in_place_of_a_word_is_not_printed_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.toml"
    path.write_text(f'[subject]\nmesh = "a.stl"\ntopcoat = "{"far " * 100_000}"\n', encoding="utf-8")
    assert exit_status(monkeypatch, "check", path) == 2
    told = capsys.readouterr().err
    assert told.startswith(f"spruelight: {path}: subject.topcoat: no finish is called 'far far ")
    assert "satin" in told
    assert len(told) < 1100


def test_a_title_beyond_the_terminals_letters_is_printed_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.toml").write_text('title = "Für Anna, 鉄"\n', encoding="utf-8")
    written = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(written, encoding="ascii"))
    monkeypatch.setattr(sys, "argv", ["spruelight", "check", str(tmp_path / "a.toml")])
    with pytest.raises(SystemExit) as caught:
        main()
    sys.stdout.flush()
    assert not caught.value.code
    assert written.getvalue().startswith(rb"F\xfcr Anna, \u9244")


@pytest.mark.parametrize("words", [("sheet", "{}.stl", "--height-cm", "9"), ("new", "box.stl", "--out", "{}.toml")])
def test_a_name_that_no_file_can_have_is_wrong_input(
    words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    trimesh.creation.box((4, 4, 10)).export(tmp_path / "box.stl")
    monkeypatch.chdir(tmp_path)
    sized = () if "--height-cm" in words else ("--height-cm", "9")
    assert exit_status(monkeypatch, *(word.format("a" * 300) for word in words), *sized) == 2
    assert "(File name too long)" in capsys.readouterr().err


@pytest.mark.parametrize(
    "size", ["9" * 5000 + "x640", "480x", "x", "480x640x", "15x480", "8193x480", "٤٨٠x640", "-480x640"]
)
def test_a_size_that_is_none_is_wrong_input(size: str) -> None:
    with pytest.raises(InputError, match="give width x height in pixels from 16 to 8192"):
        pixels(size)


def test_facts_are_printed_as_ascii_json(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.toml").write_text('title = "Für Anna"\n', encoding="utf-8")
    assert exit_status(monkeypatch, "check", tmp_path / "a.toml", "--json") == 0
    out = capsys.readouterr().out
    assert out.isascii()
    assert json.loads(out)["title"] == "Für Anna"


class Status:
    """Stands in for the line of a terminal that says what is being done."""

    def __init__(self) -> None:
        self.shown: list[str] = []

    def __enter__(self) -> Status:
        return self

    def __exit__(self, *_: object) -> None:
        """Go away."""

    def update(self, words: str) -> None:
        self.shown.append(Text.from_markup(words).plain)


def test_what_is_being_read_is_shown_as_it_is_called_and_obeyed_by_no_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mesh = tmp_path / "[red]\x1b]0;mine\x07.stl"
    trimesh.creation.box((4, 4, 10)).export(tmp_path / "box.stl")
    (tmp_path / "box.stl").rename(mesh)
    status = Status()
    monkeypatch.setattr(Console, "status", lambda *_: status)
    open_arrangement(mesh, {"height_cm": 9.0})
    assert status.shown[0] == r"reading [red]\x1b]0;mine\x07.stl"
