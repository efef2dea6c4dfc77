"""The files that a mesh file names: read from its own folder and below, and from nowhere else."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path, PureWindowsPath
from typing import Final
from urllib.parse import unquote

from .errors import InputError

LARGEST_BYTES: Final = 2 * 2**30
"""Of a file beside a mesh."""


@dataclass
class FolderResolver:
    """Gives a reader the files that a mesh file names.

    Readers go on where a file is missing, so what was missing is kept in `doubts`; what lies outside the folder is kept
    in `refused`, in a sentence.
    """

    path: Path
    doubts: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    def get(self, name: str) -> bytes:
        """Return the content of the file of that name beside the mesh file; InputError where there is none."""
        paths = [self._inside(spelling) for spelling in (name, unquote(name))]
        if None in paths:
            self.refused.append(
                f"{self.path.name} names '{name}', which is outside its folder and is not read: put it into the same "
                "folder and name it from there, or export one GLB"
            )
            raise InputError(self.refused[-1])
        for path in paths:
            if path and path.is_file() and path.stat().st_size <= LARGEST_BYTES:
                return path.read_bytes()
        self.doubts.append(f"the file names '{name}', which is not beside it")
        raise InputError(
            f"{self.path.name} names '{name}', which is not beside it: put it into the same folder, or export one GLB"
        )

    __getitem__ = get

    def _inside(self, name: str) -> Path | None:
        name = name.strip().replace("\\", "/")
        folder = self.path.parent.resolve()
        if ":" in name or "\0" in name or PureWindowsPath(name).anchor:
            return None
        path = (folder / name).resolve()
        return path if path.is_relative_to(folder) else None
