"""A reader of the output who goes early, as `| head -1` does, is no error of ours."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest


@pytest.mark.parametrize("words", [("list", "setups"), ("list", "setups", "--json"), ("--version",)])
def test_a_reader_who_has_gone_is_answered_with_silence(words: tuple[str, ...]) -> None:
    read, write = os.pipe()
    os.close(read)
    buffered = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    try:
        ran = subprocess.run(
            [sys.executable, "-m", "gallery.cli", *words],
            stdout=write, stderr=subprocess.PIPE, env=buffered, check=False,
        )  # fmt: skip
    finally:
        os.close(write)
    assert (ran.returncode, ran.stderr) == (1, b"")
