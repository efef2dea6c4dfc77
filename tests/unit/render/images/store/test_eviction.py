"""The cache is limited in size: what it counts, and what it removes."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from render.images.store.eviction import ABANDONED_S, ORPHANED_S
from render.images.store.store import Store

from .test_store import ARRAYS, file_of, loaded


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "cache")


def filled(folder: Path, ages: dict[str, int]) -> Store:
    """Return a store of an earlier run, with entries last used so many seconds ago."""
    store = Store(folder / "cache")
    for key, age in ages.items():
        store.save(key, **ARRAYS)
        aged(store, key, age)
    return store


def one_size(folder: Path) -> int:
    probe = Store(folder / "probe")
    probe.save("a", **ARRAYS)
    return probe.size_bytes()


def aged(store: Store, key: str, seconds: int) -> None:
    file = store.folder / f"{key}.arrays"
    os.utime(file, (file.stat().st_atime - seconds, file.stat().st_mtime - seconds))


def test_beyond_the_cap_the_longest_unused_leave_first(tmp_path: Path) -> None:
    earlier = filled(tmp_path, {"a": 300, "b": 200, "c": 100})
    later = Store(earlier.folder, cap_bytes=3 * one_size(tmp_path))
    assert loaded(later) is not None  # used again
    later.save("d", **ARRAYS)
    assert [key for key in "abcd" if loaded(earlier, key) is not None] == ["a", "c", "d"]
    assert later.size_bytes() <= later.cap_bytes


def test_what_a_run_has_saved_or_loaded_stays_beyond_the_cap_and_it_is_told_once(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    earlier = filled(tmp_path, {"a": 300, "b": 200})
    later = Store(earlier.folder, cap_bytes=1)
    assert loaded(later) is not None
    for key in "cd":
        later.save(key, **ARRAYS)
    assert [key for key in "abcd" if loaded(earlier, key) is not None] == ["a", "c", "d"]
    (told,) = caplog.messages
    assert "this run needs" in told
    Store(earlier.folder, cap_bytes=1).save("e", **ARRAYS)
    assert [key for key in "abcde" if loaded(earlier, key) is not None] == ["e"]


@pytest.mark.parametrize("nth", [1, 2, 3])
def test_a_file_that_another_run_removes_meanwhile_ends_neither_saving_nor_counting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, nth: int
) -> None:
    store = Store(tmp_path / "cache")
    calls = {"trimming": 0, "counting": 0}
    stat = Path.stat

    def removed_before(what: str) -> Callable[..., os.stat_result]:
        def counted(path: Path, **how: bool) -> os.stat_result:
            if path.name == "a.arrays":
                calls[what] += 1
                if calls[what] == nth:
                    path.unlink(missing_ok=True)
            return stat(path, **how)

        return counted

    store.save("a", **ARRAYS)
    monkeypatch.setattr(Path, "stat", removed_before("trimming"))
    later = Store(store.folder, cap_bytes=1)
    later.save("b", **ARRAYS)
    monkeypatch.setattr(Path, "stat", stat)
    assert loaded(later, "b") is not None

    store.save("a", **ARRAYS)
    monkeypatch.setattr(Path, "stat", removed_before("counting"))
    assert store.size_bytes() > 0
    assert calls["trimming"]
    assert calls["counting"]


@pytest.mark.parametrize("error", [FileNotFoundError, PermissionError])
def test_a_file_that_cannot_be_removed_does_not_end_saving(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: type[OSError]
) -> None:
    filled(tmp_path, {"a": 100})
    store = Store(tmp_path / "cache", cap_bytes=1)
    tried: list[str] = []
    unlink = Path.unlink

    def refuse(path: Path, missing_ok: bool = False) -> None:
        if path.name == "a.arrays":
            tried.append(path.name)
            raise error
        unlink(path, missing_ok)

    monkeypatch.setattr(Path, "unlink", refuse)
    store.save("b", **ARRAYS)
    assert tried == ["a.arrays"]
    assert loaded(store, "b") is not None


def test_the_size_is_what_the_files_take(store: Store) -> None:
    assert store.size_bytes() == 0
    store.save("a", **ARRAYS)
    assert store.size_bytes() == file_of(store).stat().st_size


def left_unfinished(store: Store, seconds: float) -> Path:
    """Return the file that a run killed while it wrote an entry has left so many seconds ago."""
    code = (
        "import os, sys; from pathlib import Path; from render.images.store.atomic_file import write_atomically; "
        "write_atomically(Path(sys.argv[1]), lambda file: (file.write(b'half'), file.flush(), os._exit(9)))"
    )
    subprocess.run([sys.executable, "-c", code, str(store.folder / "killed.arrays")], check=False)
    (file,) = store.folder.glob(".killed*")
    os.utime(file, (time.time() - seconds, time.time() - seconds))
    return file


def test_what_a_killed_run_left_unfinished_counts_and_leaves_after_a_minute(store: Store) -> None:
    store.save("a", **ARRAYS)
    one = store.size_bytes()
    file = left_unfinished(store, 0)
    assert store.size_bytes() == one + len(b"half")
    Store(store.folder).save("a", **ARRAYS)
    assert file.exists()  # another machine may be writing it
    os.utime(file, (time.time() - 2 * ORPHANED_S,) * 2)
    Store(store.folder).save("a", **ARRAYS)
    assert not file.exists()
    assert store.size_bytes() == one


def test_what_a_running_program_has_not_finished_for_an_hour_leaves(store: Store) -> None:
    store.folder.mkdir()
    file = store.folder / f".a.arrays.{os.getpid()}.x1y2z3_a"
    for age, is_kept in ((ABANDONED_S - 60, True), (ABANDONED_S + 60, False)):
        file.write_bytes(b"half")
        os.utime(file, (time.time() - age,) * 2)
        Store(store.folder).save("a", **ARRAYS)
        assert file.exists() == is_kept


def test_what_is_being_written_takes_its_share_of_the_cap(tmp_path: Path) -> None:
    earlier = filled(tmp_path, {"a": 200, "b": 100})
    (earlier.folder / ".c.arrays.x1y2z3_a").write_bytes(bytes(10))
    Store(earlier.folder, cap_bytes=2 * one_size(tmp_path)).save("b", **ARRAYS)
    assert [key for key in "ab" if loaded(earlier, key) is not None] == ["b"]


@pytest.mark.parametrize("name", ["notes.txt", "data.npz", ".profile", "arrays", ".arrays.txt", ".my.arrays.txt"])
def test_other_files_in_the_folder_are_neither_counted_nor_removed(store: Store, name: str) -> None:
    store.save("a", **ARRAYS)
    one = store.size_bytes()
    (store.folder / name).write_bytes(b"somebody's")
    os.utime(store.folder / name, (0, 0))
    Store(store.folder).save("a", **ARRAYS)
    assert (store.folder / name).exists()
    assert store.size_bytes() == one
