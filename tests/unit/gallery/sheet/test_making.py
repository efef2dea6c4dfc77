"""However the work on a sheet ends, its summary says how."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from gallery.budget.goal import Goal
from gallery.inputs import open_input
from gallery.sheet import making
from gallery.sheet.making import make_sheet
from gallery.sheet.request import Request
from gallery.sheet.run_notes import SUMMARY
from render.images.store.store import Store
from render.images.tracing import Tracing

ROUNDS = SimpleNamespace(number=3, passes=[8], grains=lambda: [0.01])
REQUEST = Request(file="stand-in:spoon", sizing={}, setups=("loop",), size=(24, 32), quality="draft")


@pytest.mark.parametrize(
    ("error", "ended"),
    [
        (RuntimeError("the connection to the cluster is lost"), "it failed: the connection to the cluster is lost"),
        (OSError(28, "No space left on device", "out/sheet.png"), "it failed: out/sheet.png: no space left on device"),
        (ZeroDivisionError("division"), "it failed: ZeroDivisionError('division')"),
        (KeyboardInterrupt(), "it was stopped"),
    ],
)
def test_work_that_ends_before_its_goal_says_why(
    error: BaseException,
    ended: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    def fail(*arguments: Any) -> str:
        remake: Callable[..., None] = arguments[-1]
        remake(ROUNDS, lambda _: None)
        raise error

    monkeypatch.setattr(making, "take_stored", lambda *_: [])
    monkeypatch.setattr(making, "write_sheet", lambda *_: None)
    monkeypatch.setattr(making, "work_on", fail)
    arrangement = open_input(Path("stand-in:spoon"), {})
    with pytest.raises(type(error)):
        make_sheet(arrangement, REQUEST, tmp_path, Tracing(Store(tmp_path / "cache")), goal=Goal(grain=0.001))
    summary = json.loads((tmp_path / SUMMARY).read_text())
    assert (summary["rounds"], summary["ended"]) == (3, ended)
    assert ended in capsys.readouterr().err
