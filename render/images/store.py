"""What was traced, on disk, by a hash of what it depicts: one size-capped cache of the person's.

Files are written beside their place, flushed and renamed, so that a killed run leaves none half-written.
"""

from __future__ import annotations

import logging
import os
import re
import tempfile
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import IO, Any, Final, NamedTuple

from numpy.typing import NDArray
from platformdirs import user_cache_path

from .container import DamagedError, Form, open_regular, read_arrays, write_arrays

CAP_BYTES = 8 * 2**30
FOLDER_VARIABLE = "SPRUELIGHT_CACHE"
SUFFIX: Final = ".arrays"
SUFFIXES: Final = (SUFFIX, ".npz")
"""What earlier versions left as .npz counts and leaves with the others, and is not read."""
ABANDONED_S: Final = 3600.0
"""The age from which an unfinished file is one that a killed run left."""

_log = logging.getLogger(__name__)


def default_folder() -> Path:
    """Return the cache folder: what SPRUELIGHT_CACHE names, or the platform's own place."""
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named) if named else user_cache_path("spruelight", appauthor=False)


def write_whole(path: Path, write: Callable[[IO[bytes]], Any]) -> None:
    """Call `write(file)` on a new file beside `path` and put it in place once it is complete."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            write(file)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(0o644)
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


class _File(NamedTuple):
    """A file of the cache: when it was last used, in seconds since the epoch, and its size in bytes."""

    used: float
    size: int
    path: Path


class Store:
    """Named arrays by key, the longest unused leaving first when the cap is passed."""

    def __init__(self, folder: Path | None = None, cap_bytes: int = CAP_BYTES) -> None:
        self.folder = folder or default_folder()
        self.cap_bytes = cap_bytes
        self._warned: set[Path] = set()

    def load(self, key: str, forms: Mapping[str, Form]) -> dict[str, NDArray[Any]] | None:
        """Return the arrays that `forms` names of those stored under a key, or None where they are not there whole.

        An entry that is there but is not what was stored is warned of once.
        """
        path = self._path(key)
        try:
            with open_regular(path) as file:
                arrays = read_arrays(file, key, forms)
        except (FileNotFoundError, NotADirectoryError):
            return None
        except DamagedError as error:
            self._warn(path, f"{path} {error}: what it held is computed anew")
            return None
        except OSError as error:
            self._warn(path, f"{path} cannot be read ({_reason(error)}): what it holds is computed anew")
            return None
        with suppress(OSError):  # of a cache that may only be read
            os.utime(path)
        return arrays

    def save(self, key: str, **arrays: NDArray[Any]) -> None:
        """Store arrays under a key, and drop the longest unused ones beyond the cap.

        Where that cannot be, a warning says so once: the work goes on, and is not kept.
        """
        try:
            write_whole(self._path(key), lambda file: write_arrays(file, key, arrays))
        except OSError as error:
            self._warn(
                self.folder,
                f"the cache folder {self.folder} cannot be written to ({_reason(error)}), so nothing is kept; "
                f"name another in the environment as {FOLDER_VARIABLE}",
            )
        else:
            self._trim()

    def size_bytes(self) -> int:
        """Return what the cache takes on disk, unfinished files included."""
        return sum(file.size for file in (*self._files(_is_entry), *self._files(_is_unfinished)))

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}{SUFFIX}"

    def _warn(self, about: Path, sentence: str) -> None:
        if about not in self._warned:
            self._warned.add(about)
            _log.warning("spruelight: %s", sentence)

    def _files(self, wanted: Callable[[str], bool]) -> list[_File]:
        """Return the files whose name is wanted; what another run removes meanwhile is left out."""
        files = []
        for path in self.folder.glob("*"):
            if wanted(path.name):
                with suppress(OSError):
                    status = path.stat()
                    files.append(_File(status.st_mtime, status.st_size, path))
        return files

    def _trim(self) -> None:
        """Remove unfinished files that a killed run left, and the longest unused entries beyond the cap."""
        kept, now = 0, time.time()
        for file in self._files(_is_unfinished):
            if now - file.used > ABANDONED_S:
                _remove(file.path)
            else:
                kept += file.size
        for newest_first, file in enumerate(sorted(self._files(_is_entry), reverse=True)):
            kept += file.size
            if kept > self.cap_bytes and newest_first > 0:
                _remove(file.path)


def _is_entry(name: str) -> bool:
    return name.endswith(SUFFIXES)


def _is_unfinished(name: str) -> bool:
    """Return whether a name is one that `write_whole` gives to what will become an entry."""
    return re.fullmatch(r"\..+\.(arrays|npz)\.\w{8}", name) is not None


def _remove(path: Path) -> None:
    with suppress(OSError):  # another run may use it, or have removed it
        path.unlink()


def _reason(error: OSError) -> str:
    return (error.strerror or "unknown").lower()
