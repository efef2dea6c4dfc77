"""Photometric files of every format, by their ending."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from scenes.errors import InputError
from scenes.files import content_of

from .eulumdat import read_eulumdat
from .ies import read_ies
from .photometry import Photometry

READERS: Final = {".ies": read_ies, ".ldt": read_eulumdat}
"""From the ending of a file to its reader."""


def read_photometry(path: Path) -> Photometry:
    """Return the content of a photometric file: .ies of ANSI/IES LM-63, type C, or .ldt of EULUMDAT.

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
    content = content_of(path, "photometric file")
    try:
        if not content.strip():
            raise InputError("it is empty; save it again")
        if b"\0" in content:
            raise InputError("it is no plain text, as a photometric file is; save it again")
        return reader(content.decode("utf-8-sig", errors="replace"))  # older encodings show in words alone
    except InputError as error:
        raise InputError(f"{path}: {error}") from None
