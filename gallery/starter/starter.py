"""`spruelight new`: a commented arrangement for a mesh, with pictures of how it stands and of its parts."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

from gallery.drawings.files import write_drawings
from gallery.inputs import describe_size, open_as_guessed
from render.images.store.atomic_file import write_atomically
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.builtin.standin import STAND_IN
from scenes.errors import InputError
from scenes.lengths import dimensions_words
from scenes.subject.orientation.ranking import current_orientation, opposite

from .template import starter_text


class Starter(NamedTuple):
    """The paths of a new arrangement and of its pictures, and sentences on its size and on what was guessed."""

    arrangement: Path
    pictures: tuple[Path, ...]
    notes: tuple[str, ...]


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
    text = starter_text(mesh, arrangement, sizing, guess.reason if guess else "")
    try:
        pictures = write_drawings(arrangement, path.parent, path)
        write_atomically(path, lambda file: file.write(text.encode()))
    except PermissionError:
        raise InputError(f"{path.parent}: cannot be written to; copy the mesh to a folder of yours") from None
    views = pictures[0].name if pictures else ""
    guessed = [] if guess is None else [f"{guess.was_taken}: {views} shows how else it may stand"]
    notes = [*_size_notes(arrangement), *guessed, *_front_notes(arrangement, sizing, views, path)]
    return Starter(path, pictures, tuple(notes))


def _size_notes(arrangement: ResolvedArrangement) -> list[str]:
    """Return what is doubtful of the model's size, else its three measures."""
    if arrangement.dimensions_cm is None:
        return []
    return [describe_size(arrangement) or f"{dimensions_words(*arrangement.dimensions_cm)}; long is from front to back"]


def _front_notes(arrangement: ResolvedArrangement, sizing: dict[str, Any], views: str, path: Path) -> list[str]:
    """Return what to do where a model's front is not given, since no mesh says which end that is."""
    current = current_orientation(arrangement.turned_model(0.0))
    if sizing.get("front") is not None or current is None:
        return []
    return [
        f"no mesh says which side is its front: if its back is towards you in the first view of {views}, write "
        f'front = "{opposite(current[1])}" into {path.name}'
    ]
