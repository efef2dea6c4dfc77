"""Files that a mesh file refers to, read only from its own folder and below."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path, PureWindowsPath
from typing import Final
from urllib.parse import unquote

from scenes.errors import InputError
from scenes.files import resolved_path
from scenes.text import printable

from .limits import LARGEST_BYTES

LONGEST_NAME: Final = 80
"""Characters of a file name in a message."""


@dataclass
class FolderResolver:
    """Reads the files that a mesh file refers to.

    Readers continue without a missing file, so a note on it is kept in `notes`; `refused` holds sentences on files that
    are outside the folder or too large.
    """

    path: Path
    notes: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    def get(self, name: str, most_bytes: int = LARGEST_BYTES) -> bytes:
        """Return the content of the file of that name beside the mesh file.

        Raises
        ------
        InputError
            Where there is none, it is outside the folder, not a regular file, or too large.
        """
        shown = printable(name, LONGEST_NAME)
        paths = [self._inside(spelling) for spelling in (name, unquote(name))]
        if None in paths:
            raise self._refusal(
                f"names '{shown}', which is outside its folder and is not read: put it into the same "
                "folder and name it from there, or export one GLB"
            )
        for path in paths:
            if path is not None and _is_file(path):
                size = path.stat().st_size
                if size > most_bytes:
                    raise self._refusal(f"names '{shown}' of {size} bytes, more than the {most_bytes} read here")
                return path.read_bytes()
        note = f"the file names '{shown}', which is not beside it"
        if note not in self.notes:
            self.notes.append(note)
        raise InputError(
            f"{self.path.name} names '{shown}', which is not beside it: put it into the same folder, or export one GLB"
        )

    def _refusal(self, message: str) -> InputError:
        self.refused.append(f"{self.path.name} {message}")
        return InputError(self.refused[-1])

    def _inside(self, name: str) -> Path | None:
        name = name.strip().replace("\\", "/")
        folder = resolved_path(self.path.parent)
        if ":" in name or PureWindowsPath(name).anchor:
            return None
        path = resolved_path(folder / name.replace("\0", "\N{REPLACEMENT CHARACTER}"))  # no file is called so
        return path if path.is_relative_to(folder) else None


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # a name longer than the system allows
        return False
