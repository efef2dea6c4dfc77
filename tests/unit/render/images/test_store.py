"""What was traced, on disk: whole or not at all, and never more than the cap."""

from __future__ import annotations

import errno
import logging
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import IO, Any

import numpy as np
import pytest
from numpy.typing import NDArray

from render.images.container import ArraySpec
from render.images.store import ABANDONED_S, CAP_BYTES, FOLDER_VARIABLE, Store, default_folder, write_whole

ARRAYS = {"passes": np.array(7), "sums": np.arange(24, dtype=np.float32).reshape(2, 3, 4)}
SPECS = {"passes": ArraySpec("int64", ()), "sums": ArraySpec("float32", (2, 3, 4))}


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "cache")


def file_of(store: Store) -> Path:
    (file,) = store.folder.iterdir()
    return file


def loaded(store: Store, key: str = "a") -> dict[str, NDArray[Any]] | None:
    return store.load(key, SPECS)


def test_what_is_saved_is_loaded_with_its_values_shapes_and_types(store: Store) -> None:
    store.save("a", **ARRAYS)
    found = loaded(store)
    assert found is not None
    assert found.keys() == ARRAYS.keys()
    for name, array in ARRAYS.items():
        np.testing.assert_array_equal(found[name], array)
        assert found[name].dtype == array.dtype


def test_what_was_never_saved_is_absent(store: Store, caplog: pytest.LogCaptureFixture) -> None:
    assert loaded(store) is None
    store.save("a", **ARRAYS)
    assert loaded(store, "b") is None
    assert caplog.messages == []


def test_only_the_arrays_asked_for_are_loaded(store: Store) -> None:
    store.save("a", **ARRAYS)
    found = store.load("a", {"passes": SPECS["passes"]})
    assert found is not None
    assert {name: int(array) for name, array in found.items()} == {"passes": 7}


def test_without_an_array_that_is_asked_for_the_rest_is_absent_too(store: Store) -> None:
    store.save("a", **ARRAYS)
    assert store.load("a", {**SPECS, "albedo": SPECS["sums"]}) is None


def test_saving_again_replaces(store: Store) -> None:
    store.save("a", **ARRAYS)
    store.save("a", passes=np.array(8))
    found = store.load("a", {"passes": SPECS["passes"]})
    assert found is not None
    assert int(found["passes"]) == 8


def broken(store: Store) -> None:
    data = bytearray(file_of(store).read_bytes())
    data[-1] ^= 1
    file_of(store).write_bytes(data)


def of_an_earlier_version(store: Store) -> None:
    with file_of(store).open("wb") as file:
        np.savez(file, **ARRAYS)  # type: ignore[arg-type]  # numpy's stub takes the keywords for flags


def cut_short(store: Store) -> None:
    os.truncate(file_of(store), 100)


def in_place_of_it(make: Callable[[Path], object]) -> Callable[[Store], None]:
    def replace(store: Store) -> None:
        file = file_of(store)
        file.unlink()
        make(file)

    return replace


DAMAGE: dict[str, Callable[[Store], None]] = {
    "a bit turned round": broken,
    "cut short": cut_short,
    "of an earlier version": of_an_earlier_version,
    "a folder": in_place_of_it(Path.mkdir),
    "a link to itself": in_place_of_it(lambda file: file.symlink_to(file)),
}
if hasattr(os, "mkfifo"):
    DAMAGE["a pipe"] = in_place_of_it(os.mkfifo)


@pytest.mark.parametrize("how", DAMAGE)
def test_an_entry_that_is_not_what_was_saved_is_absent_and_told_of_in_one_line_once(
    store: Store, caplog: pytest.LogCaptureFixture, how: str
) -> None:
    store.save("a", **ARRAYS)
    file = file_of(store)
    DAMAGE[how](store)
    assert loaded(store) is None
    assert loaded(store) is None
    (told,) = caplog.messages
    assert "\n" not in told
    assert str(file) in told
    assert told.endswith("anew")


@pytest.mark.parametrize("how", [how for how in DAMAGE if how != "a folder"])
def test_what_is_not_what_was_saved_can_be_saved_anew(store: Store, how: str) -> None:
    store.save("a", **ARRAYS)
    DAMAGE[how](store)
    store.save("a", **ARRAYS)
    assert loaded(store) is not None


def test_without_logging_set_up_the_line_goes_to_stderr(
    store: Store, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(logging.getLogger(), "handlers", [])  # of the test run itself
    store.save("a", **ARRAYS)
    broken(store)
    loaded(store)
    assert capsys.readouterr().err.startswith(f"spruelight: {file_of(store)} has sums")


def one_size(folder: Path) -> int:
    probe = Store(folder / "probe")
    probe.save("a", **ARRAYS)
    return probe.size_bytes()


def aged(store: Store, key: str, seconds: int) -> None:
    file = store.folder / f"{key}.arrays"
    os.utime(file, (file.stat().st_atime - seconds, file.stat().st_mtime - seconds))


def test_beyond_the_cap_the_longest_unused_leave_first(tmp_path: Path) -> None:
    store = Store(tmp_path / "cache", cap_bytes=3 * one_size(tmp_path))
    for age, key in ((300, "a"), (200, "b"), (100, "c")):
        store.save(key, **ARRAYS)
        aged(store, key, age)
    assert loaded(store) is not None  # used again
    store.save("d", **ARRAYS)
    assert [key for key in "abcd" if loaded(store, key) is not None] == ["a", "c", "d"]
    assert store.size_bytes() <= store.cap_bytes


def test_the_last_one_saved_stays_even_where_it_alone_passes_the_cap(tmp_path: Path) -> None:
    store = Store(tmp_path / "cache", cap_bytes=1)
    store.save("a", **ARRAYS)
    aged(store, "a", 100)
    store.save("b", **ARRAYS)
    assert loaded(store) is None
    assert loaded(store, "b") is not None


@pytest.mark.parametrize("look", [1, 2, 3])
def test_a_file_that_another_run_removes_meanwhile_ends_neither_saving_nor_counting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, look: int
) -> None:
    store = Store(tmp_path / "cache", cap_bytes=1)
    looks = {"trimming": 0, "counting": 0}
    stat = Path.stat

    def removed_before(what: str) -> Callable[..., os.stat_result]:
        def looked(path: Path, **how: bool) -> os.stat_result:
            if path.name == "a.arrays":
                looks[what] += 1
                if looks[what] == look:
                    path.unlink(missing_ok=True)
            return stat(path, **how)

        return looked

    store.save("a", **ARRAYS)
    monkeypatch.setattr(Path, "stat", removed_before("trimming"))
    store.save("b", **ARRAYS)
    monkeypatch.setattr(Path, "stat", stat)
    assert loaded(store, "b") is not None

    store.cap_bytes = CAP_BYTES
    store.save("a", **ARRAYS)
    monkeypatch.setattr(Path, "stat", removed_before("counting"))
    assert store.size_bytes() > 0
    assert looks["trimming"]
    assert looks["counting"]


@pytest.mark.parametrize("error", [FileNotFoundError, PermissionError])
def test_a_file_that_cannot_be_removed_does_not_end_saving(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: type[OSError]
) -> None:
    store = Store(tmp_path / "cache", cap_bytes=1)
    store.save("a", **ARRAYS)
    aged(store, "a", 100)
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


def refused(*_: object, **__: object) -> None:
    raise PermissionError(errno.EROFS, "Read-only file system")


def test_what_is_in_a_cache_that_may_only_be_read_is_found(
    store: Store, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    store.save("a", **ARRAYS)
    for call in ("utime", "replace", "unlink", "mkdir", "chmod"):
        monkeypatch.setattr(os, call, refused)
    assert loaded(store) is not None
    assert caplog.messages == []


def test_where_nothing_can_be_kept_the_work_goes_on_and_it_is_told_once(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (tmp_path / "file").write_text("in the way")
    store = Store(tmp_path / "file")
    store.save("a", **ARRAYS)
    store.save("b", **ARRAYS)
    assert loaded(store) is None
    (told,) = caplog.messages
    assert f"the cache folder {tmp_path / 'file'} cannot be written to" in told
    assert FOLDER_VARIABLE in told


def test_a_written_file_is_there_whole_and_alone(tmp_path: Path) -> None:
    path = tmp_path / "new" / "frame.png"
    write_whole(path, lambda file: file.write(b"done"))
    assert path.read_bytes() == b"done"
    assert list(path.parent.iterdir()) == [path]


def test_a_writer_that_fails_leaves_nothing_behind(tmp_path: Path) -> None:
    def fails(file: IO[bytes]) -> None:
        file.write(b"half")
        raise RuntimeError("the disk is full")

    with pytest.raises(RuntimeError, match="the disk is full"):
        write_whole(tmp_path / "frame.png", fails)
    assert list(tmp_path.iterdir()) == []


def test_a_writer_that_fails_leaves_what_stood_there_before(tmp_path: Path) -> None:
    def fails(file: IO[bytes]) -> None:
        file.write(b"half")
        raise KeyboardInterrupt

    path = tmp_path / "frame.png"
    path.write_bytes(b"before")
    with pytest.raises(KeyboardInterrupt):
        write_whole(path, fails)
    assert path.read_bytes() == b"before"
    assert list(tmp_path.iterdir()) == [path]


def test_while_it_is_written_the_file_is_not_seen(tmp_path: Path) -> None:
    path = tmp_path / "frame.png"
    seen: list[bool] = []

    def write(file: IO[bytes]) -> None:
        file.write(b"half")
        seen.append(path.exists())

    write_whole(path, write)
    assert seen == [False]


def left_unfinished(store: Store, seconds: float) -> Path:
    """Return the file that a run killed while it wrote an entry has left so many seconds ago."""
    code = (
        "import os, sys; from pathlib import Path; from render.images.store import write_whole; "
        "write_whole(Path(sys.argv[1]), lambda file: (file.write(b'half'), file.flush(), os._exit(9)))"
    )
    subprocess.run([sys.executable, "-c", code, str(store.folder / "killed.arrays")], check=False)
    (file,) = store.folder.glob(".killed*")
    os.utime(file, (time.time() - seconds, time.time() - seconds))
    return file


def test_what_a_killed_run_left_unfinished_counts_and_leaves_after_an_hour(store: Store) -> None:
    store.save("a", **ARRAYS)
    one = store.size_bytes()
    file = left_unfinished(store, ABANDONED_S - 60)
    assert store.size_bytes() == one + len(b"half")
    store.save("a", **ARRAYS)
    assert file.exists()  # another run may be writing it
    os.utime(file, (0, 0))
    store.save("a", **ARRAYS)
    assert not file.exists()
    assert store.size_bytes() == one


def test_what_is_being_written_takes_its_share_of_the_cap(tmp_path: Path) -> None:
    store = Store(tmp_path / "cache", cap_bytes=2 * one_size(tmp_path))
    for age, key in ((200, "a"), (100, "b")):
        store.save(key, **ARRAYS)
        aged(store, key, age)
    (store.folder / ".c.arrays.x1y2z3_a").write_bytes(bytes(10))
    store.save("b", **ARRAYS)
    assert [key for key in "ab" if loaded(store, key) is not None] == ["b"]


@pytest.mark.parametrize("name", ["notes.txt", ".profile", "arrays", ".arrays.txt", ".my.arrays.txt"])
def test_other_files_in_the_folder_are_neither_counted_nor_removed(store: Store, name: str) -> None:
    store.save("a", **ARRAYS)
    one = store.size_bytes()
    (store.folder / name).write_bytes(b"somebody's")
    os.utime(store.folder / name, (0, 0))
    store.save("a", **ARRAYS)
    assert (store.folder / name).exists()
    assert store.size_bytes() == one


def test_the_folder_is_the_one_that_the_environment_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    assert default_folder() == tmp_path
    assert Store().folder == tmp_path
    monkeypatch.delenv(FOLDER_VARIABLE)
    assert default_folder().name == "spruelight"
