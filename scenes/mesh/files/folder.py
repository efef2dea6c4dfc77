"""The files that a mesh file names: read from its own folder and below, and from nowhere else."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path, PureWindowsPath
from typing import Final
from urllib.parse import unquote

from scenes.errors import InputError
from scenes.mesh.pictures import refuse_bomb

from .byte_checks import in_utf8
from .limits import LARGEST_BYTES

_PICTURES: Final = (".png", ".jpg", ".jpeg", ".webp", ".bmp", ".tga", ".tif", ".tiff", ".gif")
_OPTIONS: Final = re.compile(
    r"\s*(?:-[a-zA-Z]+(?:\s+(?:on|off|[-+]?[\d.]+(?:e[-+]?\d+)?|[rgbmlz]|sphere|cube_\w+))*\s+)+"
)
"""What may stand before the name of a picture in an MTL file."""


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
        if options := _OPTIONS.match(name):
            name = name[options.end() :]
            self._doubt(f"the options '{options[0].strip()}' of its picture '{name}' are not followed")
        paths = [self._inside(spelling) for spelling in (name, unquote(name))]
        if None in paths:
            self.refused.append(
                f"{self.path.name} names '{name}', which is outside its folder and is not read: put it into the same "
                "folder and name it from there, or export one GLB"
            )
            raise InputError(self.refused[-1])
        for path in paths:
            if path and path.is_file() and path.stat().st_size <= LARGEST_BYTES:
                return self._looked_at(path.read_bytes(), name)
        self._doubt(f"the file names '{name}', which is not beside it")
        raise InputError(
            f"{self.path.name} names '{name}', which is not beside it: put it into the same folder, or export one GLB"
        )

    __getitem__ = get

    def _looked_at(self, content: bytes, name: str) -> bytes:
        """Return a file's content; a picture that is too large is refused, as readers would only leave it out."""
        if name.lower().endswith(_PICTURES):
            try:
                if not refuse_bomb(content, name):
                    self._doubt(f"its picture '{name}' could not be read and is left out: save it as PNG or JPEG")
            except InputError as error:
                self.refused.append(f"{self.path.name}: {error}")
                raise
        return in_utf8(content) if name.lower().endswith(".mtl") else content

    def _doubt(self, said: str) -> None:
        if said not in self.doubts:
            self.doubts.append(said)

    def _inside(self, name: str) -> Path | None:
        name = name.strip().replace("\\", "/")
        folder = self.path.parent.resolve()
        if ":" in name or "\0" in name or PureWindowsPath(name).anchor:
            return None
        path = (folder / name).resolve()
        return path if path.is_relative_to(folder) else None
