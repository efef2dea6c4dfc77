"""Which run traces a lamp image: two runs at once share the work in place of doing it twice.

A lease is a locked file beside the entry. The operating system unlocks it when its process ends, however it ends.
Nothing depends on leases but time: where files cannot be locked or written, a run traces what it needs.
"""

from __future__ import annotations

import os
import time
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Final

from .eviction import LEASE_SUFFIX
from .leftovers import LEFTOVERS

if TYPE_CHECKING:
    from filelock import BaseFileLock

STALE_S: Final = 600.0
"""Age of the last heartbeat, s, from which a run that is there but does not go on is not waited for."""


class Lease:
    """The right to trace one lamp image; without a lock, where there can be none."""

    def __init__(self, path: Path, lock: BaseFileLock | None) -> None:
        self._path = path
        self._lock = lock

    def beat(self) -> None:
        """Say that the work goes on."""
        if self._lock:
            with suppress(OSError):
                os.utime(self._path)

    def release(self) -> None:
        """Let others trace the image."""
        if self._lock:
            with suppress(OSError):
                self._path.unlink()
            self._lock.release()
            LEFTOVERS.discard(self._path)
            self._lock = None


def lease(folder: Path, key: str) -> Lease | None:
    """Return the lease on the entry of a key in a folder; None if another run has it and goes on."""
    from filelock import FileLock, Timeout

    path = folder / f".{key}{LEASE_SUFFIX}"
    lock = FileLock(path, thread_local=False)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        lock.acquire(blocking=False)
    except Timeout:
        return Lease(path, None) if _is_stale(path) else None
    except (OSError, NotImplementedError):
        return Lease(path, None)
    LEFTOVERS.add(path)
    taken = Lease(path, lock)
    taken.beat()
    return taken


def _is_stale(path: Path) -> bool:
    try:
        return time.time() - path.stat().st_mtime > STALE_S
    except OSError:
        return False
