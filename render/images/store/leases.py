"""Which run does a piece of work: runs at once, on one machine or several, share it in place of doing it twice.

A lease is a file beside the entry that names host, process and a random token, and is touched by a thread of its
holder. It is free again once it is removed, once the process that it names has ended on this host, or once it did not
change for `STALE_S` while somebody looked at it: by the clock of whoever looks, so that clocks may differ. The files
system's own locks, which a network may lack, are not used. Nothing depends on leases but time: two holders write the
same bits, and where leases cannot be written, a run traces what it needs.
"""

from __future__ import annotations

import threading
import time
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Final

from .eviction import LEASE_SUFFIX
from .leftovers import LEFTOVERS

if TYPE_CHECKING:
    from filelock import SoftFileLease

STALE_S: Final = 120.0
"""Without a sign of life of the holder, after which its lease is taken over. A network's view of a file may be a minute
old.
"""
HEARTBEATS: Final = 12
"""Signs of life in that time."""
HANGING_S: Final = 600.0
"""Without work that goes on, s, after which a holder that is alive gives its lease up."""

_seen: Final[dict[Path, SoftFileLease]] = {}
"""Leases of others, with what was seen of them; the same one has to look again."""
_empty: Final[dict[Path, tuple[int, float]]] = {}
"""Files that name no holder: when they were changed, by their own clock, and since when that is seen, by ours."""


class Lease:
    """The right to make one entry, or to do one piece of work; without a lock, where there can be none."""

    def __init__(self, path: Path, lock: SoftFileLease | None) -> None:
        self._path = path
        self._lock = lock
        self._worked_at = time.monotonic()
        self._watch: threading.Timer | None = None
        if lock:
            LEFTOVERS.add(path)
            self._watch_from_now()

    def beat(self) -> None:
        """Say that the work goes on."""
        self._worked_at = time.monotonic()

    def release(self) -> None:
        """Let others have it."""
        if self._watch:
            self._watch.cancel()
        if self._lock:
            with suppress(OSError):
                self._lock.release()
            LEFTOVERS.discard(self._path)

    def _watch_from_now(self) -> None:
        self._watch = threading.Timer(HANGING_S, self._release_if_hanging)
        self._watch.daemon = True
        self._watch.start()

    def _release_if_hanging(self) -> None:
        if time.monotonic() - self._worked_at >= HANGING_S:
            self.release()
        else:
            self._watch_from_now()


def lease(folder: Path, key: str) -> Lease | None:
    """Return the lease on an entry or a piece of work by its key; None if another run has it and goes on."""
    from filelock import SoftFileLease, Timeout

    path = lease_path(folder, key)
    lock = _seen.pop(path, None) or SoftFileLease(
        path, lease_duration=STALE_S, heartbeat_interval=STALE_S / HEARTBEATS, thread_local=False
    )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        lock.acquire(blocking=False)
    except Timeout:
        _seen[path] = lock
        _remove_if_abandoned(path)
        return None
    except (OSError, NotImplementedError, ValueError):  # the last: another version's lease, of another duration
        return Lease(path, None)
    return Lease(path, lock)


def lease_path(folder: Path, key: str) -> Path:
    """Return the file of the lease of a key in a folder."""
    return folder / f".{key}{LEASE_SUFFIX}"


def _remove_if_abandoned(path: Path) -> None:
    """Remove a lease whose holder was killed before its name was in the file; nobody else would ever take it over."""
    with suppress(OSError):
        status, now = path.stat(), time.monotonic()
        changed, seen = _empty.get(path, (None, now))
        if status.st_size or changed != status.st_mtime_ns:
            _empty[path] = (status.st_mtime_ns, now)
        elif now - seen > STALE_S:
            path.unlink()
