"""What the command line names: an arrangement, a mesh with a size, or the built-in demo."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement, demo_arrangement, read_arrangement, resolve
from scenes.builtin.standin import STAND_IN, standin_words
from scenes.errors import InputError
from scenes.mesh.files.mesh import READABLE
from scenes.subject.seating import Tick, silent

SIZES = frozenset({"height_cm", "length_cm", "width_cm", "real_height_m", "real_length_m", "real_width_m"})


def open_input(file: Path | None, sizing: dict[str, Any], tick: Tick = silent) -> ResolvedArrangement:
    """Return what `file` names, resolved; `sizing` holds the subject keys given on the command line.

    `tick` is told what is being done, in words, since a large mesh takes a while.

    Raises
    ------
    InputError
        Where it cannot be used.
    """
    given = {key: value for key, value in sizing.items() if value is not None}
    declared, folder = _declared(file)
    if given:
        declared = _resized(declared, given, folder.source)
    return with_recesses(resolve(declared, folder, tick=tick), tick)


def _declared(file: Path | None) -> tuple[Arrangement, Folder]:
    """Return the arrangement that `file` names or that stands round it, and the folder that its files lie in."""
    if file is None:
        return demo_arrangement(), Folder(Path(), "the demo model")
    source = str(file)
    if _stand_in(file):
        return fill_model({"subject": {"mesh": source}}, Arrangement, source), Folder(Path(), source)
    if file.suffix.lower() == ".toml":
        return read_arrangement(file), Folder(file.parent, source)
    if file.suffix.lower().lstrip(".") in READABLE:
        declared = fill_model({"subject": {"mesh": file.name}}, Arrangement, source)
        return declared, Folder(file.parent, source, trusted=file.name)
    raise InputError(
        f"{file}: neither an arrangement (.toml) nor a mesh ({', '.join(sorted(READABLE))}) nor {STAND_IN}NAME"
    )


def changed(arrangement: ResolvedArrangement, declared: Arrangement) -> ResolvedArrangement:
    """Return another arrangement of the same folder, resolved, with its recesses measured where a wash is put on."""
    return with_recesses(arrangement.changed(declared))


def with_recesses(arrangement: ResolvedArrangement, tick: Tick = silent) -> ResolvedArrangement:
    """Return an arrangement with the recesses of its subject measured, where a wash is to settle in them."""
    subject, declared = arrangement.subject, arrangement.declared.subject
    wash = declared.wash if declared else None
    if subject is None or wash is None or subject.parts[0].recess is not None:
        return arrangement
    from render.images.store import Store
    from render.recesses import with_recesses as measured

    tick("looking for recesses")
    return replace(arrangement, subject=measured(subject, wash.width_mm, Store()))


def measures(arrangement: ResolvedArrangement) -> str:
    """Return how large the model is, for a heading: what stands by its height, what lies by its length too."""
    if arrangement.dimensions_cm is None:
        return ""
    width, length, height = arrangement.dimensions_cm
    tall = f"{height:.1f} cm tall"
    return tall if height >= max(width, length) else f"{length:.1f} cm long, {width:.1f} cm wide, {tall}"


def stand_in_words(file: Path | None) -> str | None:
    """Return in a sentence what a stand-in stands in for; None for what is none."""
    if file is None or not (name := _stand_in(file)):
        return None
    return standin_words(name)


def _stand_in(file: Path) -> str | None:
    return str(file).removeprefix(STAND_IN) if str(file).startswith(STAND_IN) else None


def _resized(arrangement: Arrangement, given: dict[str, Any], where: str) -> Arrangement:
    if arrangement.subject is None:
        raise InputError(f"{where}: there is no [subject] to give a size")
    data = arrangement.model_dump(exclude_unset=True)
    if given.keys() & SIZES:
        for size in SIZES:
            data["subject"].pop(size, None)
    data["subject"].update(given)
    return fill_model(data, Arrangement, where)
