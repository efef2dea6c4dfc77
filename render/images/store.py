"""What was traced, on disk, by a hash of what it depicts: one size-capped cache of the person's.

Files are written beside their place, flushed and renamed, so that a killed run leaves none half-written.
"""

from __future__ import annotations

import os
import tempfile
import zipfile
from collections.abc import Sequence
from pathlib import Path
from typing import IO, Any

import numpy as np
from numpy.lib.npyio import NpzFile
from numpy.typing import NDArray
from platformdirs import user_cache_path

CAP_BYTES = 8 * 2**30
FOLDER_VARIABLE = "SPRUELIGHT_CACHE"


def default_folder() -> Path:
    """Return the cache folder: what SPRUELIGHT_CACHE names, or the platform's own place."""
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named) if named else user_cache_path("spruelight", appauthor=False)


def write_whole(path: Path, write: Any) -> None:
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


class Store:
    """Named arrays by key, the longest unused leaving first when the cap is passed."""

    def __init__(self, folder: Path | None = None, cap_bytes: int = CAP_BYTES) -> None:
        self.folder = folder or default_folder()
        self.cap_bytes = cap_bytes

    def load(self, key: str, only: Sequence[str] | None = None) -> dict[str, NDArray[Any]] | None:
        """Return the arrays stored under a key, all or `only` some, or None where they are not there whole."""
        path = self._path(key)
        try:
            with path.open("rb") as file:  # numpy leaves its own open where the file is broken
                stored = np.load(file, allow_pickle=False)
                if not isinstance(stored, NpzFile):
                    return None
                arrays = {name: stored[name] for name in only or stored.files}
            os.utime(path)
        except (OSError, ValueError, KeyError, EOFError, NotImplementedError, zipfile.BadZipFile):
            return None
        return arrays

    def save(self, key: str, **arrays: NDArray[Any]) -> None:
        """Store arrays under a key, and drop the longest unused ones beyond the cap."""

        def write(file: IO[bytes]) -> None:
            np.savez(file, **arrays)  # type: ignore[arg-type]  # numpy's stub takes the keywords for flags

        try:
            write_whole(self._path(key), write)
        except OSError as error:
            reason = (error.strerror or "unknown").lower()
            raise RuntimeError(
                f"the cache folder {self.folder} cannot be written to ({reason}); "
                f"name another in the environment as {FOLDER_VARIABLE}"
            ) from None
        self._trim()

    def size_bytes(self) -> int:
        """Return what the cache takes on disk."""
        return sum(file.stat().st_size for file in self._files())

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}.npz"

    def _files(self) -> list[Path]:
        return [file for file in self.folder.glob("*.npz") if file.is_file()]

    def _trim(self) -> None:
        files = sorted(((f.stat().st_mtime, f.stat().st_size, f) for f in self._files()), reverse=True)
        kept = 0
        for newest_first, (_, size, file) in enumerate(files):
            kept += size
            if kept > self.cap_bytes and newest_first > 0:
                file.unlink(missing_ok=True)
