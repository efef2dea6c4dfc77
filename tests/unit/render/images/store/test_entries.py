"""What the cache says of its entries, without reading their arrays."""

from __future__ import annotations

import os
import time
from pathlib import Path

import numpy as np
import pytest

from render.images.store import keys
from render.images.store.container import LINE_LIMIT
from render.images.store.entries import DAMAGED, UNFINISHED, Description, Entry
from render.images.store.keys import result_key
from render.images.store.store import Store
from render.kernel.backend import Backend, NoBackendError

DIVER = Description(("loop", "rembrandt"), (480, 640), 2)
SUMS = np.zeros((3, 4), np.float32)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "cache", title="Diver")


def only(store: Store) -> Entry:
    (entry,) = store.entries()
    return entry


def test_an_entry_says_what_it_is_for_how_large_it_is_and_when_it_was_used(store: Store) -> None:
    started = time.time()
    store.save(result_key("image", 1.0), DIVER, sums=SUMS)
    entry = only(store)
    assert (entry.kind, entry.title, entry.description) == ("lamp image", "Diver", DIVER)
    assert entry.bytes == store.size_bytes() == entry.path.stat().st_size
    assert started - 1 < entry.used_at < time.time() + 1
    assert entry.provenance == keys.provenance_facts()
    assert entry.is_usable


@pytest.mark.parametrize(
    ("kind", "expected"),
    [("passes", "unfinished lamp image"), ("meter-16384", "irradiance"), ("small-8", "small images"),
     ("ambient-occlusion", "recesses"), ("another-thing", "another thing")],
)  # fmt: skip
def test_a_kind_is_told_by_its_key(store: Store, kind: str, expected: str) -> None:
    store.save(result_key(kind, 1.0), sums=SUMS)
    assert only(store).kind == expected


def test_the_last_used_comes_first_and_what_is_removed_is_gone(store: Store) -> None:
    for key in "abc":
        store.save(key, sums=SUMS)
    os.utime(store.folder / "b.arrays", (0, 0))
    entries = store.entries()
    assert entries[-1].path.name == "b.arrays"
    assert store.remove(entries[:2]) == sum(entry.bytes for entry in entries[:2])
    assert [entry.path.name for entry in store.entries()] == ["b.arrays"]
    assert store.remove(entries[:1]) == 0 or not entries[0].path.exists()


def test_no_title_and_no_names_are_too_long_to_be_stored(store: Store) -> None:
    store.title = "\N{GRINNING FACE}" * LINE_LIMIT
    assert store.save("a", Description(("\N{GRINNING FACE}" * LINE_LIMIT,) * 1000), sums=SUMS)
    assert only(store).title.startswith("\N{GRINNING FACE}")


def test_what_killed_runs_have_left_and_what_is_damaged_are_listed_and_not_usable(store: Store) -> None:
    store.save("a", sums=SUMS)
    (store.folder / "a.arrays").write_bytes(b"spruelight")
    (store.folder / ".b.arrays.7.x1y2z3_a").write_bytes(b"half")
    (store.folder / "notes.txt").write_bytes(b"somebody's")
    found = {entry.kind: entry for entry in store.entries()}
    assert found.keys() == {DAMAGED, UNFINISHED}
    assert not any(entry.is_usable for entry in found.values())


@pytest.fixture
def elsewhere(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let another backend trace from here on."""
    monkeypatch.setattr(keys, "choose_backend", lambda: Backend("cuda_ad_spectral", None, "test"))
    for cached in (keys.provenance, keys.provenance_facts):
        monkeypatch.setattr(keys, cached.__name__, cached.__wrapped__)


def test_entries_of_another_backend_are_neither_read_nor_called_usable(
    store: Store, request: pytest.FixtureRequest
) -> None:
    store.save(result_key("image", 1.0), DIVER, sums=SUMS)
    before = only(store)
    request.getfixturevalue("elsewhere")
    after = only(store)
    assert (before.is_usable, after.is_usable) == (True, False)
    assert after.provenance["backend"] == before.provenance["backend"] != "cuda_ad_spectral"
    assert not (store.folder / f"{result_key('image', 1.0)}.arrays").exists()


def test_where_no_backend_traces_entries_are_listed_all_the_same(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    def none() -> Backend:
        raise NoBackendError("none")

    store.save("a", DIVER, sums=SUMS)
    monkeypatch.setattr(keys, "choose_backend", none)
    monkeypatch.setattr(keys, "provenance", keys.provenance.__wrapped__)
    assert only(store).description == DIVER
    assert not only(store).is_usable
