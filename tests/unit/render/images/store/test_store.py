"""The cache of traced results: entries are loaded as they were saved, or are absent."""

from __future__ import annotations

import errno
import logging
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from render.images.store.container import ArraySpec
from render.images.store.store import FOLDER_VARIABLE, Store, default_folder

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


def in_the_way(folder: Path) -> Path:
    (folder / "file").write_text("in the way")
    return folder / "file"


def below_it(folder: Path) -> Path:
    return in_the_way(folder) / "cache"


def ring_of_links(folder: Path) -> Path:
    (folder / "one").symlink_to(folder / "two")
    (folder / "two").symlink_to(folder / "one")
    return folder / "one"


@pytest.mark.parametrize("place", [in_the_way, below_it, ring_of_links])
def test_where_nothing_can_be_written_it_is_kept_for_the_run_and_told_in_one_line_once(
    tmp_path: Path, caplog: pytest.LogCaptureFixture, place: Callable[[Path], Path]
) -> None:
    folder = place(tmp_path)
    store = Store(folder)
    assert loaded(store, "c") is None
    assert [store.save(key, **ARRAYS) for key in "ab"] == [False, False]
    assert loaded(store) == ARRAYS
    assert loaded(Store(folder)) is None
    (told,) = caplog.messages
    assert f"the cache folder {folder} cannot be written to" in told
    assert FOLDER_VARIABLE in told
    assert "\n" not in told


def test_with_the_disk_full_for_a_while_what_was_before_stays_and_what_comes_after_is_kept(
    store: Store, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    store.save("a", **ARRAYS)
    with monkeypatch.context() as disk:
        disk.setattr(os, "fsync", full)
        assert not store.save("a", passes=np.array(8))
    assert [path.name for path in store.folder.iterdir()] == ["a.arrays"]
    passes = {"passes": SPECS["passes"]}
    assert [int(s.load("a", passes)["passes"]) for s in (store, Store(store.folder))] == [8, 7]  # type: ignore[index]
    assert store.save("a", passes=np.array(9))
    assert int(Store(store.folder).load("a", passes)["passes"]) == 9  # type: ignore[index]
    (told,) = caplog.messages
    assert "no space left on device" in told


def test_a_folder_that_is_removed_while_it_is_used_is_made_again(
    store: Store, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    store.save("a", **ARRAYS)
    shutil.rmtree(store.folder)
    assert loaded(store) is None
    assert store.save("a", **ARRAYS)
    replace, removed = Path.replace, iter([True])

    def remove_before(path: Path, target: Path) -> Path:
        if next(removed, False):
            shutil.rmtree(store.folder)
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", remove_before)
    assert store.save("b", **ARRAYS)
    assert loaded(store, "b") is not None
    assert caplog.messages == []


def test_the_folder_is_the_one_that_the_environment_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    assert default_folder() == tmp_path
    assert Store().folder == tmp_path
    monkeypatch.delenv(FOLDER_VARIABLE)
    assert default_folder().name == "spruelight"


def test_a_user_without_a_home_has_a_folder_among_the_temporary_files(monkeypatch: pytest.MonkeyPatch) -> None:
    def homeless(*_: object, **__: object) -> Path:
        raise RuntimeError("Could not determine the home directory")

    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    monkeypatch.setattr("render.images.store.store.user_cache_path", homeless)
    assert default_folder() == Path(tempfile.gettempdir(), "spruelight")


def test_a_folder_that_cannot_be_written_to_is_told_before_anything_is_saved(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (tmp_path / "cache").touch()
    store = Store(tmp_path / "cache")
    store.try_writing()
    assert not store.save("a", **ARRAYS)
    (told,) = caplog.messages
    assert f"the cache folder {store.folder} cannot be written to" in told


def test_trying_to_write_leaves_nothing_behind(tmp_path: Path) -> None:
    store = Store(tmp_path / "cache")
    store.try_writing()
    assert list(store.folder.iterdir()) == []
