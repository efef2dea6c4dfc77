"""The cache of traced results: arrays on disk by content hash, limited in size, one per user.

Files are written under a temporary name, flushed and renamed, so that a killed run leaves none half-written.
"""

from __future__ import annotations

import logging
import os
import re
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Final, NamedTuple

from numpy.typing import NDArray
from platformdirs import user_cache_path

from .atomic_file import write_atomically
from .container import ArraySpec, DamagedError, open_regular, read_arrays, write_arrays

CAP_BYTES = 8 * 2**30
FOLDER_VARIABLE = "SPRUELIGHT_CACHE"
SUFFIX: Final = ".arrays"
SUFFIXES: Final = (SUFFIX, ".npz")
"""Files of earlier versions (.npz) count towards the cap and are evicted, but are not read."""
ABANDONED_S: Final = 3600.0
"""Age in seconds from which an unfinished file is taken to be left by a killed run."""

_log = logging.getLogger(__name__)


def default_folder() -> Path:
    """Return the cache folder: the value of SPRUELIGHT_CACHE, or the platform's cache folder of the user."""
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named) if named else user_cache_path("spruelight", appauthor=False)


class _File(NamedTuple):
    """A file of the cache: time of its last use, in seconds since the epoch, and size in bytes."""

    used_at: float
    size: int
    path: Path


class Store:
    """Named arrays on disk by key; the least recently used entries are evicted beyond `cap_bytes`."""

    def __init__(self, folder: Path | None = None, cap_bytes: int = CAP_BYTES) -> None:
        self.folder = folder or default_folder()
        self.cap_bytes = cap_bytes
        self._warned: set[Path] = set()

    def load(self, key: str, specs: Mapping[str, ArraySpec]) -> dict[str, NDArray[Any]] | None:
        """Return the arrays that `specs` names of the entry of a key, or None if it is missing or damaged.

        A damaged or unreadable entry is logged as a warning, once.
        """
        path = self._path(key)
        try:
            with open_regular(path) as file:
                arrays = read_arrays(file, key, specs)
        except (FileNotFoundError, NotADirectoryError):
            return None
        except DamagedError as error:
            self._warn(path, f"{path} {error}: what it held is computed anew")
            return None
        except OSError as error:
            self._warn(path, f"{path} cannot be read ({_reason(error)}): what it holds is computed anew")
            return None
        with suppress(OSError):  # the cache may be read-only
            os.utime(path)
        return arrays

    def save(self, key: str, **arrays: NDArray[Any]) -> None:
        """Store arrays under a key, and evict the least recently used entries beyond the cap.

        If the folder cannot be written to, that is logged as a warning, once, and nothing is stored.
        """
        try:
            write_atomically(self._path(key), lambda file: write_arrays(file, key, arrays))
        except OSError as error:
            self._warn(
                self.folder,
                f"the cache folder {self.folder} cannot be written to ({_reason(error)}), so nothing is kept; "
                f"name another in the environment as {FOLDER_VARIABLE}",
            )
        else:
            self._trim()

    def size_bytes(self) -> int:
        """Return the size of the cache on disk, unfinished files included."""
        return sum(file.size for file in (*self._files(_is_entry), *self._files(_is_unfinished)))

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}{SUFFIX}"

    def _warn(self, path: Path, message: str) -> None:
        if path not in self._warned:
            self._warned.add(path)
            _log.warning("spruelight: %s", message)

    def _files(self, is_wanted: Callable[[str], bool]) -> list[_File]:
        """Return the files whose name is wanted, without those that another run removes meanwhile."""
        files = []
        for path in self.folder.glob("*"):
            if is_wanted(path.name):
                with suppress(OSError):
                    status = path.stat()
                    files.append(_File(status.st_mtime, status.st_size, path))
        return files

    def _trim(self) -> None:
        """Remove abandoned unfinished files, and the least recently used entries beyond the cap, but not the newest."""
        total, now = 0, time.time()
        for file in self._files(_is_unfinished):
            if now - file.used_at > ABANDONED_S:
                _remove(file.path)
            else:
                total += file.size
        for rank, file in enumerate(sorted(self._files(_is_entry), reverse=True)):
            total += file.size
            if total > self.cap_bytes and rank > 0:
                _remove(file.path)


def _is_entry(name: str) -> bool:
    return name.endswith(SUFFIXES)


def _is_unfinished(name: str) -> bool:
    """Return whether a name is that of a temporary file of `write_atomically` for an entry."""
    return re.fullmatch(r"\..+\.(arrays|npz)\.\w{8}", name) is not None


def _remove(path: Path) -> None:
    with suppress(OSError):  # another run may use it, or have removed it
        path.unlink()


def _reason(error: OSError) -> str:
    return (error.strerror or "unknown").lower()
