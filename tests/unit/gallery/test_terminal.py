"""What the commands print: safe to show on any terminal, and no error where a reader goes early, as `head -1` does."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import trimesh

from gallery.cli import main
from tests.support.command import run


def test_what_a_file_names_reaches_the_terminal_without_control_characters(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text('"\\u001b]0;mine\\u0007" = 1\n', encoding="utf-8")
    ran = run(tmp_path, "check", str(path))
    assert ran.returncode == 2
    assert r"unknown key '\x1b]0;mine\x07'" in ran.stderr
    assert "\x1b" not in ran.stderr


def test_the_names_of_parts_reach_the_terminal_without_control_characters(tmp_path: Path) -> None:
    box = trimesh.creation.box((4, 4, 10))
    corners = "".join(f"v {x} {y} {z}\n" for x, y, z in box.vertices)
    faces = "".join(f"f {a} {b} {c}\n" for a, b, c in box.faces + 1)
    (tmp_path / "a.obj").write_text(f"{corners}o \x1b[31mred\x1b[0m\n{faces}", encoding="utf-8")
    ran = run(tmp_path, "check", "a.obj", "--height-cm", "9")
    assert ran.returncode == 0
    assert r"\x1b[31mred\x1b[0m" in ran.stdout
    assert "\x1b" not in ran.stdout


def test_a_book_in_place_of_a_word_is_not_printed_whole(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text(f'[subject]\nmesh = "a.stl"\ntopcoat = "{"far " * 100_000}"\n', encoding="utf-8")
    ran = run(tmp_path, "check", str(path))
    assert ran.returncode == 2
    assert ran.stderr.startswith(f"spruelight: {path}: subject.topcoat: no finish is called 'far far ")
    assert "satin" in ran.stderr
    assert len(ran.stderr) < 1100


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


def test_facts_are_printed_as_ascii_json(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text('title = "Für Anna"\n', encoding="utf-8")
    ran = run(tmp_path, "check", "a.toml", "--json")
    assert ran.returncode == 0
    assert ran.stdout.isascii()
    assert json.loads(ran.stdout)["title"] == "Für Anna"


@pytest.mark.parametrize("words", [("list", "setups"), ("list", "setups", "--json"), ("--version",)])
def test_a_reader_who_has_gone_is_answered_with_silence(words: tuple[str, ...]) -> None:
    read, write = os.pipe()
    os.close(read)
    buffered = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    try:
        ran = subprocess.run(
            [sys.executable, "-m", "gallery", *words],
            stdout=write, stderr=subprocess.PIPE, env=buffered, check=False,
        )  # fmt: skip
    finally:
        os.close(write)
    assert (ran.returncode, ran.stderr) == (1, b"")
