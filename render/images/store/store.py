"""The cache of traced results: arrays on disk by content hash, limited in size, one per user.

Files are written under a temporary name, flushed and renamed, so that a killed run leaves none half-written.
"""

from __future__ import annotations

import errno
import logging
import os
import tempfile
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from numpy.typing import NDArray
from platformdirs import user_cache_path

from scenes.text import printable

from .atomic_file import write_atomically
from .cap import CAP_VARIABLE, default_cap_bytes
from .container import ArraySpec, DamagedError, open_regular, read_arrays, write_arrays
from .entries import NAME_LENGTH, Description, Entry, read_entry
from .eviction import SUFFIX, cache_files, is_entry, is_lease, is_unfinished, remove, trim

UNTRIMMED: Final = 1 / 128
"""Part of the cap that is written before the folder is looked through again."""
FOLDER_VARIABLE: Final = "SPRUELIGHT_CACHE"
MAY_PASS: Final = {errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.ENOENT, errno.EINTR}
"""Errors after which writing is tried again."""

_log = logging.getLogger(__name__)


def default_folder() -> Path:
    """Return the cache folder: the value of SPRUELIGHT_CACHE, or the platform's cache folder of the user.

    A user without a home, as in some containers, has one among the temporary files.
    """
    named = os.environ.get(FOLDER_VARIABLE)
    if named:
        return Path(named)
    try:
        return user_cache_path("spruelight", appauthor=False)
    except RuntimeError:
        return Path(tempfile.gettempdir(), "spruelight")


class Store:
    """Named arrays on disk by key; the least recently used entries are evicted beyond `cap_bytes`.

    What this program has loaded or saved is never evicted. Where the folder cannot be written to, results are kept in
    memory instead, as long as the program runs. `title` is that of the arrangement that the entries are traced for.
    Without a `cap_bytes`, it is that of the environment (`cap`).
    """

    def __init__(self, folder: Path | None = None, cap_bytes: int | None = None, title: str = "") -> None:
        self.folder = folder or default_folder()
        self.cap_bytes = cap_bytes if cap_bytes is not None else default_cap_bytes()
        self.title = title
        self._in_memory: dict[str, dict[str, NDArray[Any]]] = {}
        self._in_use: set[str] = set()
        self._warned: set[Path] = set()
        self._is_writable = True
        self._untrimmed_bytes = self.cap_bytes

    def load(self, key: str, specs: Mapping[str, ArraySpec]) -> dict[str, NDArray[Any]] | None:
        """Return the arrays that `specs` names of the entry of a key, or None if it is missing or damaged.

        A damaged or unreadable entry is logged as a warning, once.
        """
        if key in self._in_memory:
            return {name: self._in_memory[key][name] for name in specs}
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
            if os.access(self.folder, os.X_OK):  # else nothing can be written either, which is told once
                self._warn(path, f"{path} cannot be read ({_reason(error)}): what it holds is computed anew")
            return None
        self._in_use.add(path.name)
        if self._is_writable:
            with suppress(OSError):  # it may be somebody else's
                os.utime(path)
        return arrays

    def try_writing(self) -> None:
        """Find out before anything is traced if the folder cannot be written to; that is logged as a warning, once."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryFile(dir=self.folder):
                pass
        except OSError as error:
            self._fail(error)

    def save(self, key: str, description: Description | None = None, /, **arrays: NDArray[Any]) -> bool:
        """Store arrays under a key, evict entries beyond the cap, and return whether the arrays are on disk.

        If the folder cannot be written to, that is logged as a warning, once, and the arrays are kept in memory.
        """
        path = self._path(key)
        self._in_use.add(path.name)  # before it is there: another thread may be looking for what to evict
        error = self._write(path, key, description or Description(), arrays) if self._is_writable else None
        if error is not None:
            self._fail(error)
        if error is not None or not self._is_writable:
            self._in_memory[key] = arrays
            return False
        self._in_memory.pop(key, None)
        self._untrimmed_bytes += sum(array.nbytes for array in arrays.values())
        if self._untrimmed_bytes > self.cap_bytes * UNTRIMMED:
            self._trim()
        return True

    def forget(self, key: str) -> None:
        """Give up what is kept in memory of an entry that could not be written."""
        self._in_memory.pop(key, None)

    def discard(self, key: str) -> None:
        """Remove the entry of a key, if there is one."""
        self.forget(key)
        if self._is_writable:
            remove(self._path(key))

    @property
    def is_on_disk(self) -> bool:
        """Whether all that was saved is on disk, and none of it in memory alone."""
        return not self._in_memory

    def entries(self) -> list[Entry]:
        """Return the entries on disk and what killed runs have left, the last used first; arrays are not read."""
        from .keys import current_provenance

        current = current_provenance()
        files = sorted(cache_files(self.folder, _is_ours), reverse=True)
        return [read_entry(file.path, file.size, file.used_at, current) for file in files]

    def remove(self, entries: Iterable[Entry]) -> int:
        """Remove entries and return the bytes that this has freed."""
        return sum(entry.bytes for entry in entries if remove(entry.path))

    def size_bytes(self) -> int:
        """Return the size of the cache on disk, unfinished files included."""
        return sum(file.size for file in cache_files(self.folder, _is_ours))

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}{SUFFIX}"

    def _write(
        self, path: Path, key: str, description: Description, arrays: Mapping[str, NDArray[Any]]
    ) -> OSError | None:
        """Write an entry, and return the error that has prevented it."""
        from .keys import provenance_facts

        about = {**description.as_json(), "title": printable(self.title, NAME_LENGTH), **provenance_facts()}
        for is_last in (False, True):
            try:
                write_atomically(path, lambda file: write_arrays(file, key, arrays, about))
            except FileNotFoundError as error:  # somebody has removed the folder meanwhile: it is made again
                if is_last:
                    return error
            except OSError as error:
                return error
            else:
                break
        return None

    def _fail(self, error: OSError) -> None:
        """Note and tell that the folder cannot be written to."""
        self._is_writable = error.errno in MAY_PASS
        self._warn(
            self.folder,
            f"the cache folder {self.folder} cannot be written to ({_reason(error)}), so what is traced is kept for "
            f"this run alone; name another in the environment as {FOLDER_VARIABLE}",
        )

    def _trim(self) -> None:
        """Evict entries, and tell if those of this run alone are more than the cap."""
        self._untrimmed_bytes = 0
        left = trim(self.folder, self.cap_bytes, self._in_use)
        if left > self.cap_bytes:
            gib = 2**30
            self._warn(
                Path(),
                f"this run needs {left / gib:.1f} GiB of the cache, which otherwise is {self.cap_bytes / gib:.0f} GiB "
                f"at most: it is trimmed again by a later run; {CAP_VARIABLE} in the environment allows for more",
            )

    def _warn(self, about: Path, message: str) -> None:
        if about not in self._warned:
            self._warned.add(about)
            _log.warning("spruelight: %s", message)


def _is_ours(name: str) -> bool:
    return is_entry(name) or is_unfinished(name) or is_lease(name)


def _reason(error: OSError) -> str:
    return (error.strerror or "unknown").lower()
