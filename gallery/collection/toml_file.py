"""What a TOML file is, which meshes it names, and what is wrong with it, as far as is known without a mesh."""

from __future__ import annotations

from enum import Enum, auto
from pathlib import Path
from typing import Final

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.loading import mesh_files
from scenes.arrangement.mistakes.file_kind import is_kit, is_setup
from scenes.arrangement.reading import read_toml
from scenes.arrangement.resolving import mesh_values, read_arrangement, resolve_values
from scenes.errors import InputError
from scenes.files import resolved_path
from scenes.mesh.files.formats import READABLE

ARRANGEMENT_KEYS: Final = Arrangement.model_fields.keys() - {"title"}
"""An arrangement has one of them at its top; the TOML of many a program has a title."""


class Kind(Enum):
    """What a TOML file is."""

    ARRANGEMENT = auto()
    SETUP = auto()
    KIT = auto()
    OTHER = auto()


def kind_of(path: Path) -> Kind:
    """Return what a TOML file is; one that cannot be read was meant as an arrangement."""
    try:
        data = read_toml(path)
    except InputError:
        return Kind.ARRANGEMENT
    if is_setup(data):
        return Kind.SETUP
    if is_kit(data):
        return Kind.KIT
    return Kind.ARRANGEMENT if data.keys() & ARRANGEMENT_KEYS else Kind.OTHER


def meshes_named(path: Path) -> set[Path]:
    """Return the mesh files that an arrangement names, resolved; of one that cannot be read, those called as it is."""
    try:
        subject = read_toml(path).get("subject")
    except InputError:
        names: object = [path.with_suffix(f".{ending}").name for ending in READABLE]
    else:
        names = subject.get("mesh") if isinstance(subject, dict) else None
    listed = names if isinstance(names, list) else [names]
    return {resolved_path(path.parent / name) for name in listed if isinstance(name, str) and "\0" not in name}


def examine(path: Path) -> tuple[str, tuple[str, ...]]:
    """Return what the model of an arrangement depends on, as text, and what is wrong with the file."""
    folder = Folder(path.parent, str(path))
    try:
        declared = read_arrangement(path)
        resolve_values(declared, folder)
        if declared.subject is None:
            return str(path), ()
        mesh_files(declared.subject, folder)
    except InputError as error:
        return str(path), error.sentences
    return repr((path.parent, mesh_values(declared.subject))), ()
