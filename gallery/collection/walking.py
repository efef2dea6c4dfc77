"""The files of a folder and of those below it, as a person sees them: without what is hidden or was written by us."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from scenes.files import resolved_path

AGAIN: Final = ("again", "article.md")
"""A folder of that name, beside that file, has the frames of a write-up as arrangements."""


def files_below(folder: Path, out: Path) -> Iterator[Path]:
    """Yield the files of a folder and of those below it, and the links, by name; folders behind links are not entered.

    Hidden files, the folder `out` and write-ups' arrangements are passed over.

    Raises
    ------
    OSError
        Where the folder itself cannot be read; one below it that cannot is passed over.
    """
    with os.scandir(folder) as entries:
        found = sorted((entry for entry in entries if not entry.name.startswith(".")), key=_by_name)
    written = {entry.name for entry in found}
    for entry in found:
        path = folder / entry.name
        if entry.is_symlink() or not entry.is_dir():
            yield path
        elif resolved_path(path) != resolved_path(out) and not (entry.name == AGAIN[0] and AGAIN[1] in written):
            yield from _readable_below(path, out)


def _readable_below(folder: Path, out: Path) -> Iterator[Path]:
    try:
        yield from files_below(folder, out)
    except PermissionError:
        return


def _by_name(entry: os.DirEntry[str]) -> tuple[str, str]:
    return entry.name.casefold(), entry.name
