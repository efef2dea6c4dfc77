"""Whether output can be written, found out before anything is traced."""

from __future__ import annotations

import tempfile
from pathlib import Path

from scenes.errors import InputError


def require_writable_file(path: Path) -> None:
    """Refuse a file for output that cannot be written, before anything is traced.

    Raises
    ------
    InputError
        Where it cannot.
    """
    if path.is_dir():
        raise InputError(f"--out {path}: is a folder; name a file in it")
    require_writable(path.parent)


def require_writable(out: Path, folder_in_it: str = "") -> None:
    """Refuse an output folder that cannot be written to, or a folder in it, before anything is traced.

    Raises
    ------
    InputError
        Where it cannot.
    """
    for folder in dict.fromkeys((out, out / folder_in_it)):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryFile(dir=folder):
                pass
        except OSError as error:
            reason = (error.strerror or "unknown").lower()
            raise InputError(f"--out {folder}: cannot be written to ({reason}); name another folder") from None
