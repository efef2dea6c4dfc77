"""The folder of an arrangement: finds every file that an arrangement names, and confines them to the folder."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath

from scenes.errors import InputError
from scenes.files import resolved_path


@dataclass(frozen=True)
class Folder:
    """The folder of an arrangement or a kit, and the name of that file in messages.

    `trusted` is the name of a file given on the command line, which may be a link to elsewhere.
    """

    path: Path
    source: str
    trusted: str | None = None

    def find(self, key: str, name: str) -> Path:
        """Return the path of the file that a key names, in this folder or below it.

        Raises
        ------
        InputError
            Where there is no such file, or the name or a link leads out of the folder: an arrangement of a stranger
            must not read other files.
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
        """Return the folder of a file in this one, such as a kit; messages name it by its path."""
        return Folder((self.path / name).parent, str(path))


def _is_outside(folder: Path, name: str) -> bool:
    spellings = (PurePosixPath(name), PureWindowsPath(name))
    if any(path.is_absolute() or path.drive or ".." in path.parts for path in spellings):
        return True
    try:
        return not resolved_path(folder / name).is_relative_to(resolved_path(folder))
    except (OSError, ValueError):  # a zero byte, or a name that no file system accepts
        return False


def _exists(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False
