"""`spruelight cache`: what is kept of earlier runs, for which arrangement, how large, and when it was used."""

from __future__ import annotations

import re
import time
from collections.abc import Sequence
from typing import Any, Final

from render.images.store.entries import DAMAGED, Entry
from render.images.store.eviction import HASHED
from render.images.store.keys import current_provenance
from render.images.store.store import Store

from .cache_cleaning import Cleaning, state, to_remove

SETUPS_NAMED: Final = 6
STATES: Final = {
    "usable": "",
    "in work": "being written",
    "other version": "of another version or backend, not read here",
    "left over": "left by runs that were killed",
    "damaged": "damaged",
}
"""What an entry is good for, in words, in their order on a page; those from `other version` on are of no use."""
USELESS: Final = ("other version", "left over", "damaged")
UNITS: Final = ((86400.0, "day"), (3600.0, "hour"), (60.0, "minute"))


def cache_facts(store: Store, cleaning: Cleaning, remove: bool) -> dict[str, Any]:
    """Return the folder, its cap, and its content by arrangement; removes what goes where `remove` says so.

    Files that are not of a cache, in a folder that was named by mistake, are neither counted nor removed.

    Raises
    ------
    RuntimeError
        Where files cannot be removed.
    """
    now, judged = time.time(), current_provenance() is not None
    entries = [entry for entry in store.entries() if is_ours(entry)]
    gone = to_remove(entries, cleaning, now, judged)
    if remove:
        _remove(store, gone)
    left = [entry for entry in entries if not (remove and entry in gone)]
    return {
        "folder": str(store.folder),
        "bytes": sum(entry.bytes for entry in left),
        "cap_bytes": store.cap_bytes,
        "files": len(left),
        "groups": _groups(left, now, judged),
        "removed" if remove else "would_be_removed": {
            "files": len(gone), "bytes": sum(entry.bytes for entry in gone)
        },
    }  # fmt: skip


def is_ours(entry: Entry) -> bool:
    """Return whether a file is of a cache: by its first lines, or if they are damaged by its name."""
    return entry.kind != DAMAGED or re.fullmatch(HASHED, entry.path.stem) is not None


def cache_lines(facts: dict[str, Any]) -> list[str]:
    """Return a line on the folder, one for each arrangement, and one on what cleaning does or has done."""
    lines = [f"{facts['folder']}: {size_words(facts['bytes'])} of {size_words(facts['cap_bytes'])} at most"]
    lines += [_group_line(group) for group in facts["groups"]]
    if (removed := facts.get("removed")) is not None:
        return [*lines, f"removed {_files(removed)}"]
    if facts["would_be_removed"]["files"]:
        lines.append(f"--clean would remove {_files(facts['would_be_removed'])}")
    return lines


def size_words(size: int) -> str:
    """Return a size in bytes for people: `12 KiB`, `812 MiB`, `1.3 GiB`."""
    if size >= 2**30:
        return f"{size / 2**30:.1f}".removesuffix(".0") + " GiB"
    return f"{size / 2**20:.0f} MiB" if size >= 2**20 else f"{size / 2**10:.0f} KiB"


def age_words(seconds: float) -> str:
    """Return an age for people: `just now`, `5 minutes ago`, `3 days ago`."""
    for length, unit in UNITS:
        if seconds >= length:
            count = int(seconds // length)
            return f"{count} {unit}{'' if count == 1 else 's'} ago"
    return "just now"


def _remove(store: Store, entries: Sequence[Entry]) -> None:
    store.remove(entries)
    stuck = [entry.path for entry in entries if entry.path.exists()]
    if stuck:
        raise RuntimeError(f"{stuck[0]} and {len(stuck) - 1} other files of the cache cannot be removed")


def _groups(entries: Sequence[Entry], now: float, judged: bool) -> list[dict[str, Any]]:
    """Return what is good for the same and of the same arrangement together; usable first, the last used first."""
    groups: dict[tuple[str, str], list[Entry]] = {}
    for entry in entries:
        good_for = state(entry, now, judged)
        groups.setdefault((good_for, "" if good_for in USELESS else entry.title), []).append(entry)
    ordered = sorted(groups.items(), key=lambda group: list(STATES).index(group[0][0]))
    return [_group(good_for, title, members, now) for (good_for, title), members in ordered]


def _group(good_for: str, title: str, entries: Sequence[Entry], now: float) -> dict[str, Any]:
    images = [entry for entry in entries if entry.description.passes is not None]
    return {
        "state": good_for,
        "title": title,
        "bytes": sum(entry.bytes for entry in entries),
        "files": len(entries),
        "lamp_images": len(images),
        "pixels": sorted({entry.description.pixels for entry in images if entry.description.pixels}),
        "setups": list(dict.fromkeys(setup for entry in images for setup in entry.description.setups)),
        "used_at": max(entry.used_at for entry in entries),
        "used_s_ago": now - max(entry.used_at for entry in entries),
    }


def _group_line(group: dict[str, Any]) -> str:
    name = STATES[group["state"]] or group["title"] or "of no arrangement"
    line = f"{name}: {_files(group)}, used {age_words(group['used_s_ago'])}"
    if group["state"] != "usable" or not group["lamp_images"]:
        return line
    sizes = ", ".join(f"{width}x{height}" for width, height in group["pixels"])
    setups = group["setups"]
    more = f" and {len(setups) - SETUPS_NAMED} more" if len(setups) > SETUPS_NAMED else ""
    return f"{line}; lamp images of {sizes} for {', '.join(setups[:SETUPS_NAMED])}{more}"


def _files(group: dict[str, Any]) -> str:
    count = group["files"]
    return f"{size_words(group['bytes'])} in {count} file{'' if count == 1 else 's'}"
