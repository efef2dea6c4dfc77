"""Arrangements opened by what the command line names: a file, a mesh with a size, a stand-in, or the demo."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from gallery.checks.orientation import Likelier, likelier_orientation
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement, demo_arrangement, read_arrangement, resolve
from scenes.builtin.standin import STAND_IN, standin_words
from scenes.errors import InputError
from scenes.lengths import dimensions_words, size_words
from scenes.mesh.files.formats import READABLE, is_mesh_name
from scenes.progress import Progress, no_progress
from scenes.setups.setup import setup_names
from scenes.subject.file_unit import USUAL_CM

MODEL_SIZES = frozenset({"height_cm", "length_cm", "width_cm"})
SIZES = MODEL_SIZES | {"real_height_m", "real_length_m", "real_width_m", "unit"}


def open_input(
    file: Path | None, sizing: dict[str, Any], progress: Progress = no_progress, like: ResolvedArrangement | None = None
) -> ResolvedArrangement:
    """Return the arrangement that `file` names, resolved; `sizing` has the subject's keys given on the command line.

    `progress` is called with a description of each step, since a large mesh takes a while. The model of `like`, the
    arrangement before, is reused where it is the same.

    Raises
    ------
    InputError
        Where it cannot be used.
    """
    given = {key: value for key, value in sizing.items() if value is not None}
    declared, folder = _declared(file)
    if given:
        declared = _resized(declared, given, folder.source)
    return with_recesses(resolve(declared, folder, progress=progress, like=like), progress)


def open_as_guessed(
    file: Path | None, sizing: dict[str, Any], progress: Progress = no_progress, like: ResolvedArrangement | None = None
) -> tuple[ResolvedArrangement, Likelier | None]:
    """Return what `open_input` does, and the guess of how a mesh stands that was taken for it, or None.

    That of an arrangement is never guessed, nor that of a mesh where another way does not look clearly likelier.
    """
    arrangement = open_input(file, sizing, progress, like)
    guess = likelier_orientation(arrangement) if file is not None and is_mesh_name(file) else None
    if guess is None:
        return arrangement, None
    guessed = {"up": guess.orientation.up, "front": guess.orientation.front}
    return open_input(file, sizing | guessed, progress), guess


def _declared(file: Path | None) -> tuple[Arrangement, Folder]:
    """Return the arrangement of `file`, or a plain one for a mesh, and the folder of its files."""
    if file is None:
        return demo_arrangement(), Folder(Path(), "the demo model")
    source = str(file)
    if _stand_in(file):
        return fill_model({"subject": {"mesh": source}}, Arrangement, source), Folder(Path(), source)
    if file.suffix.lower() == ".toml":
        return read_arrangement(file), Folder(file.parent, source)
    if is_mesh_name(file):
        declared = fill_model({"subject": {"mesh": file.name}}, Arrangement, source)
        return declared, Folder(file.parent, source, trusted=file.name)
    if source.lower() in setup_names():
        raise InputError(
            f"{file} is a setup, and goes before the arrangement, as spruelight proof {file} ARRANGEMENT.toml"
        )
    raise InputError(
        f"{file}: neither an arrangement (.toml) nor a mesh ({', '.join(sorted(READABLE))}) nor {STAND_IN}NAME"
    )


def reopened(arrangement: ResolvedArrangement, declared: Arrangement) -> ResolvedArrangement:
    """Return another declaration in the same folder, resolved; what is unchanged is shared."""
    return with_recesses(arrangement.changed(declared))


def with_recesses(arrangement: ResolvedArrangement, progress: Progress = no_progress) -> ResolvedArrangement:
    """Return an arrangement with the recesses of its subject measured, where it declares a wash."""
    model, declared = arrangement.model, arrangement.declared.subject
    wash = declared.wash if declared else None
    if model is None or wash is None or model.parts[0].recess is not None:
        return arrangement
    from render.images.store.store import Store
    from render.recesses import with_recesses as measured

    progress("looking for recesses")
    return replace(arrangement, model=measured(model, wash.width_mm, Store()))


def size_line(arrangement: ResolvedArrangement) -> str:
    """Return the model's size for a heading: its height, or all three where it is longer or wider than tall."""
    if arrangement.dimensions_cm is None:
        return ""
    width, length, height = arrangement.dimensions_cm
    if height >= max(width, length):
        return f"{size_words(height)} tall"
    return dimensions_words(width, length, height)


def describe_size(arrangement: ResolvedArrangement) -> str | None:
    """Return a sentence on a size that is known by its file's own unit alone, or that no model has; else None."""
    if arrangement.model is None or arrangement.dimensions_cm is None:
        return None
    least, most = USUAL_CM
    if not least <= round(max(arrangement.dimensions_cm), 2) <= most:
        return (
            f"{dimensions_words(*arrangement.dimensions_cm)}, where a model has {least:g} to {most:g} cm: check the "
            "size, and which side it is of, --height-cm, --length-cm or --width-cm"
        )
    if arrangement.model.sized_by is None:
        return None
    return (
        f"{size_line(arrangement)} by the {arrangement.model.sized_by} of its file: if yours is another size, say it, "
        "as --height-cm 18"
    )


def describe_stand_in(file: Path | None) -> str | None:
    """Return a sentence about a stand-in; None for any other file."""
    if file is None or not (name := _stand_in(file)):
        return None
    return standin_words(name)


def _stand_in(file: Path) -> str | None:
    return str(file).removeprefix(STAND_IN) if str(file).startswith(STAND_IN) else None


def _resized(arrangement: Arrangement, given: dict[str, Any], where: str) -> Arrangement:
    if arrangement.subject is None:
        raise InputError(f"{where}: there is no [subject] to give a size")
    data = arrangement.model_dump(exclude_unset=True)
    replaced = SIZES if given.keys() & SIZES else MODEL_SIZES if "scale" in given else frozenset()
    data["subject"] = {key: value for key, value in data["subject"].items() if key not in replaced} | given
    return fill_model(data, Arrangement, where)
