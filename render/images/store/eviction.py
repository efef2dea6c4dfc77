"""The files of the cache, and which of them go: what killed runs have left, and beyond the cap the longest unused."""

from __future__ import annotations

import os
import re
import time
from collections.abc import Callable, Container
from contextlib import suppress
from pathlib import Path
from typing import Final, NamedTuple

SUFFIX: Final = ".arrays"
EARLIER_SUFFIX: Final = ".npz"
"""Of files of earlier versions, which count towards the cap and are evicted, but are not read."""
LEASE_SUFFIX: Final = ".lease"
HASHED: Final = r".+-[0-9a-f]{32}"
"""A key. Of common suffixes only files with such a name are the cache's, whose folder may be named by mistake."""
ABANDONED_S: Final = 3600.0
"""Age in seconds from which an unfinished file or a lease is taken to be left by a killed run."""
ORPHANED_S: Final = 60.0
"""The same where no process of the number in its name is running; of another machine's it cannot be known."""


class CacheFile(NamedTuple):
    """A file of the cache: time of its last use, in seconds since the epoch, and size in bytes."""

    used_at: float
    size: int
    path: Path


def cache_files(folder: Path, is_wanted: Callable[[str], bool]) -> list[CacheFile]:
    """Return the files whose name is wanted, without those that another run removes meanwhile."""
    files = []
    with suppress(OSError):  # the folder may be gone, or not ours to read
        for path in folder.iterdir():
            if is_wanted(path.name):
                with suppress(OSError):
                    status = path.stat()
                    files.append(CacheFile(status.st_mtime, status.st_size, path))
    return files


def is_entry(name: str) -> bool:
    """Return whether a name is that of a whole entry."""
    return name.endswith(SUFFIX) or re.fullmatch(rf"{HASHED}\{EARLIER_SUFFIX}", name) is not None


def is_unfinished(name: str) -> bool:
    """Return whether a name is that of a temporary file of `write_atomically` for an entry."""
    entry = re.fullmatch(r"\.(.+?)\.(\d+\.)?\w{8}", name)
    return entry is not None and is_entry(entry[1])


def is_lease(name: str) -> bool:
    """Return whether a name is that of a lease (`leases`), or of one that is being taken over."""
    return re.fullmatch(rf"\.{HASHED}\{LEASE_SUFFIX}(\.(break|restore)\.\d+\.\w+)?", name) is not None


def trim(folder: Path, cap_bytes: int, in_use: Container[str]) -> int:
    """Remove leftovers, and the least recently used entries beyond the cap but those in use; return the bytes left.

    `in_use` has the names of the entries that the running program has loaded or saved.
    """
    left, now = 0, time.time()
    for file in cache_files(folder, is_unfinished):
        if not (is_left_over(file, now) and remove(file.path)):
            left += file.size
    for file in cache_files(folder, is_lease):  # nothing depends on one that is used all the same
        if is_left_over(file, now):
            remove(file.path)
    for file in sorted(cache_files(folder, is_entry), reverse=True):
        if left + file.size <= cap_bytes or file.path.name in in_use or not remove(file.path):
            left += file.size
    return left


def remove(path: Path) -> bool:
    """Remove a file and return whether it is gone; another run may use it, or have removed it."""
    try:
        path.unlink(missing_ok=True)
    except OSError:
        return False
    return True


def is_left_over(file: CacheFile, now: float) -> bool:
    """Return whether an unfinished file or a lease is left by a run that was killed, and of none that is running."""
    age = now - file.used_at
    return age > ABANDONED_S or (age > ORPHANED_S and not _writer_runs(file.path.name))


def _writer_runs(name: str) -> bool:
    """Return whether the process whose number is in the name of an unfinished file may still be running."""
    number = re.search(r"\.(\d+)\.\w{8}$", name)
    if number is None or os.name != "posix":  # elsewhere the question would end the process
        return True
    try:
        os.kill(int(number[1]), 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True
