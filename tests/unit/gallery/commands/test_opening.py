"""Progress of a file that is opened."""

from __future__ import annotations

from pathlib import Path

import pytest
import trimesh
from rich.console import Console
from rich.text import Text

from gallery.commands.opening import open_arrangement


class Status:
    """A stand-in for the line of a terminal that shows progress."""

    def __init__(self) -> None:
        self.shown: list[str] = []

    def __enter__(self) -> Status:
        return self

    def __exit__(self, *_: object) -> None:
        """Go away."""

    def update(self, text: str) -> None:
        self.shown.append(Text.from_markup(text).plain)


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
