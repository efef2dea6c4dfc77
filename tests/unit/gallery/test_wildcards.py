"""Wildcards on the command line are of parts, on Windows too, where a program expands them itself."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

import pytest
import typer.core

from gallery.cli import main


class Windows:
    """The module os, as Typer would meet it there."""

    name = "nt"

    def __getattr__(self, name: str) -> Any:
        return getattr(os, name)


def test_a_wildcard_is_not_replaced_by_the_files_that_it_fits(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "setups").touch()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(typer.core, "os", Windows())
    monkeypatch.setattr(sys, "argv", ["spruelight", "list", "set*"])
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 2
    assert "'set*'" in capsys.readouterr().err
