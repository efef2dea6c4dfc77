"""Which entries of the cache go when it is cleaned: what is of no use first, then by age, then by size."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from gallery.budget.duration import read_duration
from render.images.store.entries import DAMAGED, LEASE, UNFINISHED, Entry
from render.images.store.eviction import CacheFile, is_left_over
from scenes.errors import InputError

BYTES: Final = {"MB": 10**6, "GB": 10**9, "MIB": 2**20, "GIB": 2**30}


@dataclass(frozen=True)
class Cleaning:
    """What is to go besides what is of no use: what was not used for so long, and the longest unused beyond a size."""

    older_than_s: float | None = None
    keep_bytes: int | None = None


def read_cleaning(older_than: str | None, keep: str | None) -> Cleaning:
    """Return what is to go by an age such as `30d` and a size such as `2GB`.

    Raises
    ------
    InputError
        For other text.
    """
    return Cleaning(
        None if older_than is None else _seconds(older_than),
        None if keep is None else _bytes(keep),
    )


def state(entry: Entry, now: float, judged: bool) -> str:
    """Return what an entry is good for: `usable`, `in work`, `left over`, `damaged` or `other version`.

    `judged` is False where no backend can trace, so that none can be told to be another's.
    """
    if entry.kind in (UNFINISHED, LEASE):
        return "left over" if is_left_over(CacheFile(entry.used_at, entry.bytes, entry.path), now) else "in work"
    if entry.kind == DAMAGED:
        return "damaged"
    return "usable" if entry.is_usable or not judged else "other version"


def to_remove(entries: Sequence[Entry], cleaning: Cleaning, now: float, judged: bool) -> list[Entry]:
    """Return the entries that go; `entries` has the last used first."""
    gone, kept_bytes = [], 0
    for entry in entries:
        good_for = state(entry, now, judged)
        if good_for == "in work":
            continue
        old = cleaning.older_than_s is not None and now - entry.used_at > cleaning.older_than_s
        if good_for != "usable" or old:
            gone.append(entry)
            continue
        kept_bytes += entry.bytes
        if cleaning.keep_bytes is not None and kept_bytes > cleaning.keep_bytes:
            gone.append(entry)
    return gone


def _seconds(age: str) -> float:
    seconds = read_duration(age)
    if seconds is None:
        raise InputError(f"--older-than {age}: give hours, days or weeks, as 12h, 30d or 8w")
    return seconds


def _bytes(size: str) -> int:
    match = re.fullmatch(r"([0-9]{1,6}(?:\.[0-9]{1,3})?) ?([MG]i?B)", size, re.IGNORECASE)
    if size == "0":
        return 0
    if match is None:
        raise InputError(f"--keep {size}: give a size, as 500MB, 2GB or 0")
    return int(float(match[1]) * BYTES[match[2].upper()])
