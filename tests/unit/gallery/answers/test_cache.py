"""What is said of the cache, and that nothing else is touched."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from gallery.answers.cache import age_words, cache_facts, cache_lines, size_words
from gallery.answers.cache_cleaning import Cleaning
from render.images.store.entries import Description
from render.images.store.keys import result_key
from render.images.store.store import Store

SUMS = np.zeros((300, 1000), np.float32)
NAMED = "0123456789abcdef" * 2


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """Return a cache of two arrangements, an entry of another version, a damaged one, and what a killed run left."""
    cache = tmp_path / "cache"
    for title, setup in (("Diver", "loop"), ("Diver", "rim"), ("Tank", "broad")):
        Store(cache, title=title).save(
            result_key("image", title, setup), Description((setup,), (480, 640), 2), sums=SUMS
        )
    Store(cache, title="Tank").save(result_key("features", "Tank"), sums=SUMS)
    _aged(cache / f"{result_key('features', 'Tank')}.arrays", days=2)
    _aged(cache / f"{result_key('image', 'Tank', 'broad')}.arrays", days=3)
    older = cache / f"image-{NAMED}.npz"
    older.write_bytes(bytes(500))
    (cache / f"meter-16-{NAMED}.arrays").write_bytes(b"spruelight arrays 1\nwhat is this")
    left = cache / f".image-{NAMED}.arrays.{2**22 + 1}.0123abcd"
    left.write_bytes(bytes(700))
    _aged(left, days=1)
    return Store(cache)


def _aged(path: Path, days: float) -> None:
    then = time.time() - days * 86400
    os.utime(path, (then, then))


def facts(store: Store, cleaning: Cleaning = Cleaning(), remove: bool = False) -> dict[str, Any]:  # noqa: B008  # frozen
    return cache_facts(store, cleaning, remove)


def test_it_is_told_for_which_arrangement_how_large_and_when_it_was_used(store: Store) -> None:
    told = facts(store)
    assert (told["folder"], told["bytes"], told["cap_bytes"]) == (str(store.folder), store.size_bytes(), 8 * 2**30)
    diver, tank = (group for group in told["groups"] if group["state"] == "usable")
    assert (diver["title"], diver["files"], diver["lamp_images"], diver["setups"]) == ("Diver", 2, 2, ["rim", "loop"])
    assert (tank["title"], tank["files"], tank["lamp_images"], tank["pixels"]) == ("Tank", 2, 1, [(480, 640)])
    assert tank["used_s_ago"] == pytest.approx(2 * 86400, abs=60)
    assert tank["bytes"] == pytest.approx(2 * SUMS.nbytes, rel=0.01)


def test_what_is_of_no_use_is_named_so_and_would_go_first(store: Store) -> None:
    lines = cache_lines(facts(store))
    assert lines[0] == f"{store.folder}: 5 MiB of 8 GiB at most"
    assert lines[1] == "Diver: 2 MiB in 2 files, used just now; lamp images of 480x640 for rim, loop"
    assert lines[2] == "Tank: 2 MiB in 2 files, used 2 days ago; lamp images of 480x640 for broad"
    assert "left by runs that were killed: 1 KiB in 1 file, used 1 day ago" in lines
    assert sum("damaged: " in line for line in lines) == 1
    assert lines[-1].startswith("--clean would remove 1 KiB in 3 files")


def test_cleaning_removes_what_it_says_and_nothing_that_is_of_use(store: Store) -> None:
    before = facts(store)
    cleaned = facts(store, remove=True)
    assert cleaned["removed"] == before["would_be_removed"]
    assert cleaned["groups"] == [{**group, "used_s_ago": pytest.approx(group["used_s_ago"], abs=60)} for group in
                                 facts(store)["groups"]]  # fmt: skip
    assert [group["title"] for group in facts(store)["groups"]] == ["Diver", "Tank"]
    assert cache_lines(cleaned)[-1] == "removed 1 KiB in 3 files"
    facts(store, Cleaning(older_than_s=86400), remove=True)
    assert [group["title"] for group in facts(store)["groups"]] == ["Diver"]
    facts(store, Cleaning(keep_bytes=0), remove=True)
    assert not list(store.folder.iterdir())


FOREIGN = ("notes.txt", "data.npz", "sums.arrays", ".draft.npz.abcdefgh", ".profile")


def test_in_a_folder_named_by_mistake_nothing_is_told_or_removed_that_is_not_of_a_cache(tmp_path: Path) -> None:
    for name in FOREIGN:
        (tmp_path / name).write_bytes(b"PK mine")
        _aged(tmp_path / name, days=100)
    own = Store(tmp_path)
    own.save(result_key("image", 1.0), sums=SUMS)
    told = facts(own, Cleaning(older_than_s=0, keep_bytes=0))
    assert told["files"] == 1
    assert told["bytes"] == pytest.approx(SUMS.nbytes, rel=0.01)
    assert facts(own, Cleaning(older_than_s=0, keep_bytes=0), remove=True)["removed"]["files"] == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(FOREIGN)


def test_what_cannot_be_removed_is_an_error(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Store, "remove", lambda *_: 0)  # as in a folder that is read-only
    with pytest.raises(RuntimeError, match="and 2 other files of the cache cannot be removed"):
        facts(store, remove=True)


def test_a_cache_that_is_not_there_is_empty(tmp_path: Path) -> None:
    assert cache_lines(facts(Store(tmp_path / "none"))) == [f"{tmp_path / 'none'}: 0 KiB of 8 GiB at most"]
    assert cache_lines(facts(Store(tmp_path / "none"), remove=True))[-1] == "removed 0 KiB in 0 files"


@pytest.mark.parametrize(
    ("size", "words"), [(0, "0 KiB"), (1500, "1 KiB"), (2**20, "1 MiB"), (5 * 10**8, "477 MiB"), (2**33, "8 GiB")]
)
def test_sizes_in_words(size: int, words: str) -> None:
    assert size_words(size) == words


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0, "just now"), (59, "just now"), (60, "1 minute ago"), (7300, "2 hours ago"), (86400 * 12.5, "12 days ago")],
)
def test_ages_in_words(seconds: float, words: str) -> None:
    assert age_words(seconds) == words
