"""The command line as a person runs it: in this process, which is quick, or in one of its own."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path
from unittest.mock import patch

from gallery.cli import main
from render.images.store.store import FOLDER_VARIABLE

Ran = subprocess.CompletedProcess[str]


def run(folder: Path, *words: str, cache: Path | None = None) -> Ran:
    """Return how `spruelight WORDS` ends in a folder, and what it prints; `cache` instead of that of all tests."""
    printed, told = io.StringIO(), io.StringIO()
    status: str | int | None = 0
    with (
        chdir(folder),
        patch.dict(os.environ, {} if cache is None else {FOLDER_VARIABLE: str(cache)}),
        patch.object(sys, "argv", ["spruelight", *words]),
        redirect_stdout(printed),
        redirect_stderr(told),
    ):
        try:
            main()
        except SystemExit as end:
            status = end.code
    assert isinstance(status, int), f"exit status {status!r}"
    return Ran(list(words), status, printed.getvalue(), told.getvalue())


def start(folder: Path, *words: str, cache: Path | None = None, setting: str = "pass") -> subprocess.Popen[str]:
    """Start `spruelight WORDS` in a folder as a process of its own.

    It heeds an interrupt, which a shell's background jobs, these tests perhaps among them, ignore. `setting` is
    Python that is run first.
    """
    heeding = "from signal import *; signal(SIGINT, SIG_DFL); from gallery.__main__ import main"
    return subprocess.Popen(
        [sys.executable, "-c", f"{heeding}; {setting}; main()", *words],
        cwd=folder, env={**os.environ, **({} if cache is None else {FOLDER_VARIABLE: str(cache)})},
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
