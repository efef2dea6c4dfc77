"""A lamp's measured light from a photometric file, whatever its format."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from .errors import InputError
from .eulumdat_file import read_eulumdat
from .ies_file import read_ies
from .photometry import Photometry

READERS: Final = {".ies": read_ies, ".ldt": read_eulumdat}
"""The reader by the file's ending."""
LARGEST_MB: Final = 5


def read_photometry(path: Path) -> Photometry:
    """Return what a photometric file says: .ies of ANSI/IES LM-63, type C, or .ldt of EULUMDAT.

    Raises
    ------
    InputError
        Where the file cannot be read, is of another kind, or is broken.
    """
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        raise InputError(
            f"{path}: it ends in '{path.suffix}', where a photometric file should be an .ies of IES LM-63 "
            "or an .ldt of EULUMDAT"
        )
    content = _content(path)
    try:
        if not content.strip():
            raise InputError("it is empty; save it again")
        if b"\0" in content:
            raise InputError("it is no plain text, as a photometric file is; save it again")
        return reader(content.decode("utf-8-sig", errors="replace"))  # older encodings show in words alone
    except InputError as error:
        raise InputError(f"{path}: {error}") from None


def _content(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise InputError(f"{path}: this is a folder; name the photometric file in it")
        if path.exists() and not path.is_file():
            raise InputError(f"{path}: this is no file of its own; copy the photometry into one")  # pipes may not end
        with path.open("rb") as file:
            content = file.read(LARGEST_MB * 1_000_000 + 1)
    except (FileNotFoundError, ValueError):  # a name with a zero byte is a ValueError
        raise InputError(f"{path}: there is no such file; check the spelling") from None
    except OSError as error:
        raise InputError(f"{path}: it cannot be read ({error.strerror}); check who may read it") from None
    if len(content) > LARGEST_MB * 1_000_000:
        raise InputError(f"{path}: it is larger than {LARGEST_MB} MB, where a photometric file takes a few kB")
    return content
