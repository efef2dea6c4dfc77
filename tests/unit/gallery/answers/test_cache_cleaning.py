"""Which entries go when the cache is cleaned."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from gallery.answers.cache_cleaning import Cleaning, read_cleaning, state, to_remove
from render.images.store.entries import DAMAGED, UNFINISHED, Entry
from scenes.errors import InputError

NOW = 10_000_000.0
DAY = 86400.0


def entry(name: str, days: float, kind: str = "lamp image", usable: bool = True) -> Entry:
    """Return an entry of 100 bytes that was last used so many days ago."""
    return Entry(Path(name), kind, 100, NOW - days * DAY, is_usable=usable)


LAST_USED_FIRST = [
    entry("today", 0), entry("older version", 0.5, usable=False), entry("last week", 7),
    entry("broken", 8, DAMAGED, usable=False), entry("last month", 31),
]  # fmt: skip


def gone(cleaning: Cleaning, judged: bool = True) -> list[str]:
    return [entry.path.name for entry in to_remove(LAST_USED_FIRST, cleaning, NOW, judged)]


def test_what_is_of_no_use_goes_always() -> None:
    assert gone(Cleaning()) == ["older version", "broken"]


def test_by_age_goes_what_was_not_used_for_so_long() -> None:
    assert gone(Cleaning(older_than_s=30 * DAY)) == ["older version", "broken", "last month"]
    assert gone(Cleaning(older_than_s=6 * DAY)) == ["older version", "last week", "broken", "last month"]


def test_by_size_the_longest_unused_go_until_no_more_is_left() -> None:
    assert gone(Cleaning(keep_bytes=300)) == ["older version", "broken"]
    assert gone(Cleaning(keep_bytes=299)) == ["older version", "broken", "last month"]
    assert len(gone(Cleaning(keep_bytes=0))) == len(LAST_USED_FIRST)


def test_where_no_backend_can_trace_no_entry_is_taken_for_another_versions() -> None:
    assert gone(Cleaning(), judged=False) == ["broken"]


def test_what_a_running_program_writes_stays_and_what_a_killed_one_has_left_goes() -> None:
    running = entry(f".image-{'0' * 32}.arrays.{os.getpid()}.0123abcd", 0.01, UNFINISHED, usable=False)
    killed = entry(f".image-{'0' * 32}.arrays.{2**22 + 1}.0123abcd", 0.01, UNFINISHED, usable=False)
    assert [state(each, NOW, judged=True) for each in (running, killed)] == ["in work", "left over"]
    assert to_remove([running, killed], Cleaning(older_than_s=0, keep_bytes=0), NOW, judged=True) == [killed]


@pytest.mark.parametrize(
    ("older_than", "keep", "cleaning"),
    [
        (None, None, Cleaning()),
        ("12h", None, Cleaning(older_than_s=DAY / 2)),
        ("30d", "0", Cleaning(older_than_s=30 * DAY, keep_bytes=0)),
        ("8w", "2GB", Cleaning(older_than_s=56 * DAY, keep_bytes=2 * 10**9)),
        (None, "1.5 GiB", Cleaning(keep_bytes=3 * 2**29)),
        (None, "500mb", Cleaning(keep_bytes=500 * 10**6)),
    ],
)
def test_ages_and_sizes_are_read_as_people_write_them(
    older_than: str | None, keep: str | None, cleaning: Cleaning
) -> None:
    assert read_cleaning(older_than, keep) == cleaning


@pytest.mark.parametrize("age", ["30", "d", "1y", "-3d", "3.5d", "1e3d", "٣d", ""])
def test_another_age_is_wrong_input(age: str) -> None:
    with pytest.raises(InputError, match="give hours, days or weeks"):
        read_cleaning(age, None)


@pytest.mark.parametrize("size", ["2", "GB", "2TB", "-2GB", "1e9GB", "00", ""])
def test_another_size_is_wrong_input(size: str) -> None:
    with pytest.raises(InputError, match="give a size, as 500MB, 2GB or 0"):
        read_cleaning(None, size)
