"""Files of this process that nobody needs once it ends, and that it removes where it ends in the middle of its work."""

from __future__ import annotations

import threading
from contextlib import suppress
from pathlib import Path
from typing import Final

LEFTOVERS: Final[set[Path]] = set()
CREATING: Final = threading.Lock()
"""Taken while a file is created and added."""


def remove_leftovers() -> None:
    """Remove the files of other threads, and let none create another, before the process ends."""
    CREATING.acquire(timeout=0.1)
    for path in tuple(LEFTOVERS):
        with suppress(OSError):
            path.unlink()
