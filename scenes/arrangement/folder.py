"""The folder of an arrangement: the one place that opens the files which an arrangement names, and confines them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath

from scenes.errors import InputError
from scenes.files import followed


@dataclass(frozen=True)
class Folder:
    """A folder that an arrangement or a kit lies in, and what its file is called in messages.

    `trusted` is the name of a file that the person named on the command line, which may be a link to elsewhere.
    """

    path: Path
    source: str
    trusted: str | None = None

    def find(self, key: str, name: str) -> Path:
        """Return the path of the file that a key names, in this folder or below it.

        Raises
        ------
        InputError
            Where the name leaves the folder, by itself or by a link: who was sent an arrangement should not have other
            files read by it. Or where there is no such file.
        """
        path = self.path / name
        if name == self.trusted:
            return path
        if _is_outside(self.path, name):
            what = key.rpartition(".")[2]
            raise InputError(
                f'{self.source}: {key} = "{name}" leaves the arrangement\'s folder; put the {what} beside the '
                "arrangement, or in a folder below it, and name it from there"
            )
        if not _exists(path):
            raise InputError(
                f'{self.source}: {key} = "{name}": there is no such file; it should lie beside {Path(self.source).name}'
            )
        return path

    def below(self, name: str, path: Path) -> Folder:
        """Return the folder of a file in this one, as a kit is, which is named in messages by its path."""
        return Folder((self.path / name).parent, str(path))


def _is_outside(folder: Path, name: str) -> bool:
    spellings = (PurePosixPath(name), PureWindowsPath(name))
    if any(path.is_absolute() or path.drive or ".." in path.parts for path in spellings):
        return True
    try:
        return not followed(folder / name).is_relative_to(followed(folder))
    except (OSError, ValueError):  # a zero byte, or a name that no system takes: there is no such file
        return False


def _exists(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False
