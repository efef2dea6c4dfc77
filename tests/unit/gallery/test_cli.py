"""The command line itself: its version, its exit statuses, its wildcards."""

from __future__ import annotations

import os
from importlib.metadata import version
from pathlib import Path
from typing import Any

import pytest
import trimesh
import typer.core

from tests.support.command import run


def test_the_version_is_that_of_the_package(tmp_path: Path) -> None:
    ran = run(tmp_path, "--version")
    assert (ran.returncode, ran.stdout) == (0, f"spruelight {version('spruelight')}\n")


@pytest.mark.parametrize("words", [("sheet", "{}.stl", "--height-cm", "9"), ("new", "box.stl", "--out", "{}.toml")])
def test_a_name_that_no_file_can_have_is_wrong_input(words: tuple[str, ...], tmp_path: Path) -> None:
    trimesh.creation.box((4, 4, 10)).export(tmp_path / "box.stl")
    height = () if "--height-cm" in words else ("--height-cm", "9")
    ran = run(tmp_path, *(word.format("a" * 300) for word in words), *height)
    assert ran.returncode == 2
    assert "(File name too long)" in ran.stderr


class Windows:
    """The module os, as Typer would meet it there."""

    name = "nt"

    def __getattr__(self, name: str) -> Any:
        return getattr(os, name)


def test_a_wildcard_is_not_replaced_by_the_files_that_it_fits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "setups").touch()
    monkeypatch.setattr(typer.core, "os", Windows())  # there the program expands wildcards itself
    ran = run(tmp_path, "list", "set*")
    assert ran.returncode == 2
    assert "'set*'" in ran.stderr
