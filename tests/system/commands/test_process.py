"""A command in a process of its own: it ends and prints as it does in this one, where the other tests run it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.command import run, start


@pytest.mark.parametrize(
    ("words", "status"), [(("list", "setups"), 0), (("check", "gone.toml"), 2)], ids=["done", "wrong input"]
)
def test_a_process_ends_and_prints_as_a_call_does(words: tuple[str, ...], status: int, tmp_path: Path) -> None:
    called, process = run(tmp_path, *words), start(tmp_path, *words)
    printed, told = process.communicate(timeout=60)
    assert (process.returncode, printed, told) == (called.returncode, called.stdout, called.stderr)
    assert process.returncode == status
    assert bool(printed) == (status == 0)
