"""Files are written whole or not at all."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import IO

import pytest

from render.images.store.atomic_file import write_atomically


def test_a_written_file_is_there_whole_and_alone(tmp_path: Path) -> None:
    path = tmp_path / "new" / "frame.png"
    write_atomically(path, lambda file: file.write(b"done"))
    assert path.read_bytes() == b"done"
    assert list(path.parent.iterdir()) == [path]


def test_a_writer_that_fails_leaves_nothing_behind(tmp_path: Path) -> None:
    def fails(file: IO[bytes]) -> None:
        file.write(b"half")
        raise RuntimeError("the disk is full")

    with pytest.raises(RuntimeError, match="the disk is full"):
        write_atomically(tmp_path / "frame.png", fails)
    assert list(tmp_path.iterdir()) == []


def test_a_writer_that_fails_leaves_what_stood_there_before(tmp_path: Path) -> None:
    def fails(file: IO[bytes]) -> None:
        file.write(b"half")
        raise KeyboardInterrupt

    path = tmp_path / "frame.png"
    path.write_bytes(b"before")
    with pytest.raises(KeyboardInterrupt):
        write_atomically(path, fails)
    assert path.read_bytes() == b"before"
    assert list(tmp_path.iterdir()) == [path]


def test_while_it_is_written_the_file_is_not_seen(tmp_path: Path) -> None:
    path = tmp_path / "frame.png"
    seen: list[bool] = []

    def write(file: IO[bytes]) -> None:
        file.write(b"half")
        seen.append(path.exists())

    write_atomically(path, write)
    assert seen == [False]


def test_a_file_that_cannot_be_written_is_named_by_the_error(tmp_path: Path) -> None:
    def fails(_: IO[bytes]) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    path = tmp_path / "frame.png"
    with pytest.raises(OSError, match="No space left on device") as raised:
        write_atomically(path, fails)
    assert raised.value.filename == str(path)
    assert list(tmp_path.iterdir()) == []
