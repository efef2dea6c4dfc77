"""What was traced, on disk: whole or not at all, and never more than the cap."""

from __future__ import annotations

import os
from pathlib import Path
from typing import IO

import numpy as np
import pytest

from render.images.store import FOLDER_VARIABLE, Store, default_folder, write_whole

ARRAYS = {"halves": np.arange(24, dtype=np.float32).reshape(2, 3, 4), "passes": np.array(7)}


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "cache")


def file_of(store: Store) -> Path:
    (file,) = store.folder.iterdir()
    return file


def test_what_is_saved_is_loaded_with_its_values_shapes_and_types(store: Store) -> None:
    store.save("a", **ARRAYS)
    loaded = store.load("a")
    assert loaded is not None
    assert loaded.keys() == ARRAYS.keys()
    for name, array in ARRAYS.items():
        np.testing.assert_array_equal(loaded[name], array)
        assert loaded[name].dtype == array.dtype


def test_what_was_never_saved_is_absent(store: Store) -> None:
    assert store.load("a") is None
    store.save("a", **ARRAYS)
    assert store.load("b") is None


def test_only_the_arrays_asked_for_are_loaded(store: Store) -> None:
    store.save("a", **ARRAYS)
    loaded = store.load("a", only=("passes",))
    assert loaded is not None
    assert {name: int(array) for name, array in loaded.items()} == {"passes": 7}


def test_without_an_array_that_is_asked_for_the_rest_is_absent_too(store: Store) -> None:
    store.save("a", **ARRAYS)
    assert store.load("a", only=("passes", "albedo")) is None


def test_saving_again_replaces(store: Store) -> None:
    store.save("a", **ARRAYS)
    store.save("a", passes=np.array(8))
    loaded = store.load("a")
    assert loaded is not None
    assert {name: int(array) for name, array in loaded.items()} == {"passes": 8}


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.9, 0.999])
def test_a_file_cut_short_is_as_good_as_absent(store: Store, share: float) -> None:
    store.save("a", **ARRAYS)
    file = file_of(store)
    file.write_bytes(file.read_bytes()[: int(share * file.stat().st_size)])
    assert store.load("a") is None


def test_a_file_whose_data_rotted_is_as_good_as_absent(store: Store) -> None:
    store.save("a", **ARRAYS)
    file = file_of(store)
    data = bytearray(file.read_bytes())
    where = data.index(ARRAYS["halves"].tobytes())
    data[where + 5] ^= 0xFF
    file.write_bytes(data)
    assert store.load("a") is None


@pytest.mark.parametrize(
    "junk", [b"", b"not a zip at all", b"\x93NUMPY\x01\x00v\x00{'descr'", b"PK\x03\x04" + bytes(60)]
)
def test_a_file_of_something_else_is_as_good_as_absent(store: Store, junk: bytes) -> None:
    store.folder.mkdir()
    (store.folder / "a.npz").write_bytes(junk)
    assert store.load("a") is None


def test_a_lone_array_under_the_name_is_as_good_as_absent(store: Store) -> None:
    store.folder.mkdir()
    with (store.folder / "a.npz").open("wb") as file:
        np.save(file, np.ones(3))
    assert store.load("a") is None


def test_stored_objects_are_not_brought_to_life(store: Store) -> None:
    store.folder.mkdir()
    np.savez(store.folder / "a.npz", passes=np.array([{"a": 1}], dtype=object))
    assert store.load("a") is None


def test_what_is_absent_or_broken_can_be_saved_anew(store: Store) -> None:
    store.folder.mkdir()
    (store.folder / "a.npz").write_bytes(b"broken")
    store.save("a", **ARRAYS)
    assert store.load("a") is not None


def one_size(folder: Path) -> int:
    probe = Store(folder / "probe")
    probe.save("a", **ARRAYS)
    return probe.size_bytes()


def aged(store: Store, key: str, seconds: int) -> None:
    file = store.folder / f"{key}.npz"
    os.utime(file, (file.stat().st_atime - seconds, file.stat().st_mtime - seconds))


def test_beyond_the_cap_the_longest_unused_leave_first(tmp_path: Path) -> None:
    store = Store(tmp_path / "cache", cap_bytes=3 * one_size(tmp_path))
    for age, key in ((300, "a"), (200, "b"), (100, "c")):
        store.save(key, **ARRAYS)
        aged(store, key, age)
    assert store.load("a") is not None  # used again
    store.save("d", **ARRAYS)
    assert [key for key in "abcd" if store.load(key) is not None] == ["a", "c", "d"]
    assert store.size_bytes() <= store.cap_bytes


def test_the_last_one_saved_stays_even_where_it_alone_passes_the_cap(tmp_path: Path) -> None:
    store = Store(tmp_path / "cache", cap_bytes=1)
    store.save("a", **ARRAYS)
    aged(store, "a", 100)
    store.save("b", **ARRAYS)
    assert store.load("a") is None
    assert store.load("b") is not None


def test_the_size_is_what_the_files_take(store: Store) -> None:
    assert store.size_bytes() == 0
    store.save("a", **ARRAYS)
    assert store.size_bytes() == file_of(store).stat().st_size


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


def test_what_is_being_written_does_not_count_as_stored(store: Store) -> None:
    store.save("a", **ARRAYS)
    (store.folder / ".b.npz.x1y2").write_bytes(b"half")
    assert store.size_bytes() == (store.folder / "a.npz").stat().st_size


def test_the_folder_is_the_one_that_the_environment_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    assert default_folder() == tmp_path
    assert Store().folder == tmp_path
    monkeypatch.delenv(FOLDER_VARIABLE)
    assert default_folder().name == "spruelight"
