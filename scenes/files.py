"""Small files of settings, lamps and spectra: only regular files, of limited size."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from .errors import InputError

LARGEST_MB: Final = 5
"""Of a file that describes a lamp."""


def resolved_path(path: Path) -> Path:
    """Return a path with its links resolved, or itself where its links form a loop."""
    try:
        return path.resolve()
    except RuntimeError:  # of Python 3.12 and before
        return path


def content_of(path: Path, what: str) -> bytes:
    """Return the content of a file of at most `LARGEST_MB`; errors call it `what`.

    Raises
    ------
    InputError
        Where there is none, it cannot be read or is too large.
    """
    try:
        if path.is_dir():
            raise InputError(f"{path}: this is a folder; name the {what} in it")
        if path.exists() and not path.is_file():
            raise InputError(f"{path}: this is no file of its own; copy the {what} into one")  # a pipe may never end
        with path.open("rb") as file:
            content = file.read(LARGEST_MB * 1_000_000 + 1)
    except (FileNotFoundError, ValueError):  # a name with a zero byte is a ValueError
        raise InputError(f"{path}: there is no such file; check the spelling") from None
    except OSError as error:
        raise InputError(f"{path}: it cannot be read ({error.strerror}); check who may read it") from None
    if len(content) > LARGEST_MB * 1_000_000:
        raise InputError(f"{path}: it is larger than {LARGEST_MB} MB, where a {what} takes a few kB")
    return content
