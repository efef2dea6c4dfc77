"""`spruelight new`: a commented arrangement for a mesh, with pictures of how it stands and of its parts."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

from gallery.checks.orientation import Likelier
from gallery.drawings.files import write_drawings
from gallery.inputs import describe_size, open_as_guessed
from gallery.terminal import print_note
from render.images.store.atomic_file import write_atomically
from scenes.builtin.standin import STAND_IN
from scenes.errors import InputError

from .template import starter_text


class Starter(NamedTuple):
    """The paths of a new arrangement and of its pictures, and the orientation that was guessed for it, if any."""

    arrangement: Path
    pictures: tuple[Path, ...]
    guess: Likelier | None


def write_starter(mesh: Path, out: Path | None, sizing: dict[str, Any]) -> Starter:
    """Write an arrangement for a mesh, and pictures of how it stands and of its parts.

    Where another orientation looks clearly likelier than the format's, and none is given, it is the one written down.

    Raises
    ------
    InputError
        Where the mesh cannot be used, or the arrangement exists already or would not lie beside the mesh.
    """
    if mesh.suffix.lower() == ".toml":
        raise InputError(f"{mesh}: `new` takes a mesh and writes the arrangement")
    if any("\ud800" <= c <= "\udfff" for c in mesh.name):
        raise InputError(f"{mesh}: its name is no text that an arrangement could name it by; rename it")
    arrangement, guess = open_as_guessed(mesh, sizing)
    path = out or mesh.with_name(mesh.name.removeprefix(STAND_IN)).with_suffix(".toml")
    if path.exists():
        raise InputError(
            f"{path}: it is there already; edit that, name another with --out, or move it away "
            f"(its pictures again: spruelight check {path.name} --picture)"
        )
    if path.parent.resolve() != mesh.parent.resolve():
        raise InputError(f"--out {path}: an arrangement lies in the folder of its mesh, {mesh.parent}")
    if size := describe_size(arrangement):
        print_note(size)
    text = starter_text(mesh, arrangement, sizing, guess.reason if guess else "")
    try:
        pictures = write_drawings(arrangement, path.parent, path)
        write_atomically(path, lambda file: file.write(text.encode()))
    except PermissionError:
        raise InputError(f"{path.parent}: cannot be written to; copy the mesh to a folder of yours") from None
    return Starter(path, pictures, guess)
