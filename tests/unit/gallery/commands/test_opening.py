"""Progress of a file that is opened; what an interruption is told of the work."""

from __future__ import annotations

import gc
import time
import weakref
from pathlib import Path
from unittest import mock

import numpy as np
import pytest
import trimesh
from rich.console import Console
from rich.text import Text

from gallery.commands.opening import close_tracing, kept_words, open_arrangement, open_tracing
from gallery.inputs import open_input
from gallery.interruption import INTERRUPTION
from render.images.store.store import FOLDER_VARIABLE, Store
from render.images.tracing import Tracing


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


def test_an_interruption_says_how_much_of_the_work_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tracing = Tracing(Store(tmp_path))
    unsaved = mock.PropertyMock(return_value=None)
    monkeypatch.setattr(Tracing, "unsaved_since", unsaved)
    assert kept_words(tracing) == "what was traced is kept, and the same command goes on from there"
    unsaved.return_value = time.monotonic() - 22.5
    assert kept_words(tracing) == (
        "what was traced is kept but for the last 23 s, and the same command goes on from there"
    )


def test_an_interruption_says_that_what_the_cache_did_not_take_is_lost(tmp_path: Path) -> None:
    (tmp_path / "cache").touch()
    tracing = Tracing(Store(tmp_path / "cache"))
    tracing.store.save("image", even=np.zeros(1))
    assert kept_words(tracing) == "what could not be written to the cache is lost"


def test_what_is_closed_leaves_memory_and_an_interruption_says_that_it_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    tracing = open_tracing(open_input(Path("stand-in:spoon"), {}))
    gone = weakref.ref(tracing)
    close_tracing(tracing)
    del tracing
    gc.collect()
    assert gone() is None
    assert INTERRUPTION.describe_kept() == "what was traced is kept, and the same command goes on from there"
