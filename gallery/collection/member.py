"""What a folder has a sheet of: an arrangement, or a mesh that none names."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import Final

from gallery.files.names import file_name
from scenes.mesh.files.formats import is_mesh_name

RESERVED: Final = ("index.html", "index.json")
"""Files that lie beside the sheets' folders."""


@dataclass(frozen=True)
class Member:
    """A file that a sheet is made of.

    Parameters
    ----------
    file
        Its path from the current folder.
    name
        Its path from the collection's folder.
    sheet
        The name of the folder of its sheet.
    model
        What its model depends on, as text: members of the same model can share it.
    mistakes
        What is wrong with it, as far as that is known without its mesh.
    """

    file: Path
    name: str
    sheet: str
    model: str
    mistakes: tuple[str, ...] = ()

    @property
    def is_mesh(self) -> bool:
        """Whether it is a mesh that no arrangement names."""
        return is_mesh_name(self.file)


def sheet_names(names: Sequence[str]) -> list[str]:
    """Return the name of a folder for the sheet of each file, by the paths of the files from their collection.

    A file that is named as its folder lends its name once; a mesh has its format in it. No two are the same where case
    counts for nothing either: such names end in a hash of the whole path.
    """
    plain = [_plain_name(PurePosixPath(name)) for name in names]
    taken = Counter(name.casefold() for name in (*plain, *RESERVED))
    return [
        sheet if taken[sheet.casefold()] == 1 else f"{sheet}-{sha256(os.fsencode(name)).hexdigest()[:8]}"
        for name, sheet in zip(names, plain, strict=True)
    ]


def _plain_name(path: PurePosixPath) -> str:
    stem = path.stem if path.suffix.lower() == ".toml" else f"{path.stem}-{path.suffix.lower().lstrip('.')}"
    folders = [part for part in path.parts[:-1] if part != stem or part != path.parts[-2]]
    return file_name(*folders, stem, ending="").rstrip(".")
