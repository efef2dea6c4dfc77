"""What stands where a folder should be, folders that nobody can write to, and no home."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from render.images.store.store import FOLDER_VARIABLE
from tests.faults.job import Job, finish, outputs, run
from tests.faults.table import note_fault
from tests.support.command import start

pytestmark = pytest.mark.slow

NO_HOME = "import os, pwd; os.environ.pop('HOME'); pwd.getpwuid = {}.__getitem__"
"""As for a user that the machine does not know, of a container for one."""


def ring(path: Path) -> None:
    """Make two links that name each other."""
    other = path.with_name("other")
    path.symlink_to(other)
    other.symlink_to(path)


WRONG: dict[str, Callable[[Path], None]] = {"a file": Path.touch, "links in a ring": ring}


@pytest.mark.parametrize("wrong", WRONG)
def test_no_cache_can_be_there(wrong: str, tmp_path: Path, draft: Job) -> None:
    cache = tmp_path / "cache"
    WRONG[wrong](cache)
    ended = run(tmp_path, cache, draft.words)
    assert ended.status == 0
    (said,) = ended.sentences
    assert f"the cache folder {cache} cannot be written to (" in said
    assert outputs(tmp_path) == draft.outputs
    note_fault(f"{wrong} for the cache", 1, "nothing of this run", said.replace(str(cache), "CACHE"))


@pytest.mark.parametrize("place", ["out", "out/frames"])
@pytest.mark.parametrize("wrong", WRONG)
def test_no_results_can_be_there_and_nothing_is_traced(wrong: str, place: str, tmp_path: Path, draft: Job) -> None:
    cache = tmp_path / "cache"
    (tmp_path / place).parent.mkdir(exist_ok=True)
    WRONG[wrong](tmp_path / place)
    ended = run(tmp_path, cache, draft.words)
    assert ended.status == 2
    (said,) = ended.sentences
    assert said.startswith(f"spruelight: --out {place}: ")
    assert not list(cache.glob("*.arrays"))
    note_fault(f"{wrong} for {place}", 1, "nothing", said)


def test_without_a_home_everything_works(tmp_path: Path, draft: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in (FOLDER_VARIABLE, "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    ended = finish(start(tmp_path, *draft.words, setting=NO_HOME))
    assert ended.status == 0
    assert outputs(tmp_path) == draft.outputs
    assert {path.name for path in tmp_path.iterdir()} == {"out", "spruelight"}
    note_fault("no home: the cache among temporary files", 1, "nothing", " | ".join(ended.sentences))
