"""Damaged entries of the cache: what they held is traced again, and no picture is another for it."""

from __future__ import annotations

import os
import random
import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from render.images.store.container import ArraySpec
from render.images.store.store import Store
from tests.faults.job import Job, outputs, run
from tests.faults.table import note_fault

EVERY_BIT = range(8)
VALUES = np.arange(6, dtype=np.float32)
SPECS = {"even": ArraySpec("float32", VALUES.shape)}
SEED = 4

Damage = Callable[[list[Path]], object]


def entry(store: Store) -> Path:
    """Save a small entry, and return its path."""
    store.save("small", even=VALUES)
    (path,) = store.folder.iterdir()
    return path


@pytest.mark.parametrize(
    "bits", [None, pytest.param(EVERY_BIT, marks=pytest.mark.slow)], ids=["one bit a byte", "every bit"]
)
def test_an_entry_with_any_bit_damaged_is_not_read(bits: range | None, tmp_path: Path) -> None:
    path = entry(Store(tmp_path))
    written, tried = path.read_bytes(), 0
    for i in range(len(written)):
        for bit in bits or [i % 8]:
            damaged = bytearray(written)
            damaged[i] ^= 1 << bit
            path.write_bytes(damaged)
            assert Store(tmp_path).load("small", SPECS) is None
            tried += 1
    path.write_bytes(written)
    loaded = Store(tmp_path).load("small", SPECS)
    assert loaded is not None
    np.testing.assert_array_equal(loaded["even"], VALUES)
    note_fault("a bit of a small entry", tried, "the entry", "the file, and what is wrong with it")


def test_a_truncated_entry_is_not_read(tmp_path: Path) -> None:
    path = entry(Store(tmp_path))
    written = path.read_bytes()
    for length in range(len(written)):
        path.write_bytes(written[:length])
        assert Store(tmp_path).load("small", SPECS) is None
    note_fault("a small entry cut off", len(written), "the entry", "the file, and what is wrong with it")


def flip_bits(entries: list[Path]) -> None:
    """Damage one bit of each entry, in its header or beyond."""
    places = random.Random(SEED)
    for path in entries:
        data = bytearray(path.read_bytes())
        data[places.randrange(len(data))] ^= 1 << places.randrange(8)
        path.write_bytes(data)


def cut_off(entries: list[Path]) -> None:
    """Leave a part of each entry; of the first, nothing."""
    for i, path in enumerate(entries):
        os.truncate(path, path.stat().st_size * i // len(entries))


def swap(entries: list[Path]) -> None:
    """Give each entry the name of the next."""
    contents = [path.read_bytes() for path in entries]
    for path, content in zip(entries, [*contents[1:], contents[0]], strict=True):
        path.write_bytes(content)


def put_another_version(entries: list[Path]) -> None:
    """Give each entry the first line of a version to come."""
    for path in entries:
        first, _, rest = path.read_bytes().partition(b"\n")
        path.write_bytes(first.rstrip(b"0123456789") + b"999\n" + rest)


def replace_by(make: Callable[[Path], object]) -> Damage:
    """Return a damage that puts something else in the place of each entry."""

    def damage(entries: list[Path]) -> None:
        for path in entries:
            path.unlink()
            make(path)

    return damage


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fault", "damage"),
    [
        (f"a bit of every entry (seed {SEED})", flip_bits),
        ("every entry cut off", cut_off),
        ("entries that have swapped their names", swap),
        ("entries of another version", put_another_version),
        ("a pipe for every entry", replace_by(os.mkfifo)),
        ("a folder for every entry", replace_by(os.mkdir)),
        ("a link to itself for every entry", replace_by(lambda path: path.symlink_to(path))),
        ("a link to nothing for every entry", replace_by(lambda path: path.symlink_to(path.with_name("gone")))),
    ],
)
def test_the_same_sheet_is_made_from_a_damaged_cache(fault: str, damage: Damage, tmp_path: Path, draft: Job) -> None:
    cache = tmp_path / "cache"
    run(tmp_path, cache, draft.words)
    shutil.rmtree(tmp_path / "out")
    entries = sorted(cache.glob("*.arrays"))
    damage(entries)
    ended = run(tmp_path, cache, draft.words)
    assert ended.status == 0
    assert outputs(tmp_path) == draft.outputs
    said = ended.sentences[0].replace(str(cache), "CACHE") if ended.sentences else "nothing"
    note_fault(fault, len(entries), "the entries", f"{len(ended.sentences)} lines, as {said}")
