"""What the command line names: an arrangement, a mesh with a size, or the built-in demo."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.loading import demo_arrangement, read_arrangement, subject_of
from scenes.arrangement.reading import fill_model
from scenes.arrangement.subject_model import SubjectModel
from scenes.builtin.standin import STAND_IN, standin_words, with_standin
from scenes.errors import ArrangementError, InputError
from scenes.mesh.files.mesh import READABLE
from scenes.setups.placed import PlacedSetup, place_setup, put_up
from scenes.setups.setup import Setup
from scenes.subject.seating import Tick, silent
from scenes.subject.subject import Subject

SIZES = frozenset({"height_cm", "length_cm", "width_cm", "real_height_m", "real_length_m", "real_width_m"})


@dataclass(frozen=True, eq=False)
class Opened:
    """An arrangement with its subject loaded, a title to print, and the file that it came from."""

    arrangement: Arrangement
    subject: Subject | None
    title: str
    source: str
    folder: Path = Path()

    def place(self, setup: str | Setup, aspect: float | None = None, name: str = "") -> PlacedSetup:
        """Return a setup put up round the subject; what the arrangement gets wrong is told with its file's name.

        A setup that is no name but at hand goes under `name`.
        """
        try:
            if isinstance(setup, str):
                return place_setup(setup, self.arrangement, self.subject, aspect)
            if self.subject is None:
                raise InputError(f"setup '{name}' needs a subject to stand round")
            return put_up(setup, name, self.arrangement, self.subject, aspect)
        except ArrangementError as error:
            raise InputError(f"{self.source}: {error}") from None

    def changed(self, arrangement: Arrangement) -> Opened:
        """Return the same with another arrangement; its subject is loaded anew only where its mesh is another."""
        now, then = arrangement.subject, self.arrangement.subject
        subject = self.subject
        if subject is None or now is None or then is None or _of_mesh(now) != _of_mesh(then):
            subject = _loaded(arrangement, self.folder)
        else:
            subject = subject.turned(now.faces_deg - then.faces_deg)
        return replace(self, arrangement=arrangement, subject=subject)

    @property
    def dimensions_cm(self) -> tuple[float, float, float] | None:
        """Width, length and height of the model itself, however it is turned on the table."""
        if self.subject is None or self.arrangement.subject is None:
            return None
        low, high = self.subject.turned(-self.arrangement.subject.faces_deg).model_bounds_cm
        width, length, height = (float(v) for v in high - low)
        return width, length, height

    @property
    def measures(self) -> str:
        """How large the model is, in words for a heading: what stands by its height, what lies by its length too."""
        if self.dimensions_cm is None:
            return ""
        width, length, height = self.dimensions_cm
        tall = f"{height:.1f} cm tall"
        return tall if height >= max(width, length) else f"{length:.1f} cm long, {width:.1f} cm wide, {tall}"


def _of_mesh(subject: SubjectModel) -> SubjectModel:
    """Return what is declared of a subject without what leaves its mesh as it is."""
    wash = subject.wash and subject.wash.model_copy(update={"strength": 0.0, "colour": "#000000"})
    plain = {"topcoat": None, "mask": (), "parts": (), "hero": None, "faces_deg": 0.0}
    return subject.model_copy(update={**plain, "wash": wash})


def open_input(file: Path | None, sizing: dict[str, Any], tick: Tick = silent) -> Opened:
    """Return what `file` names; `sizing` holds the subject keys given on the command line.

    `tick` is told what is being done, in words, since a large mesh takes a while.

    Raises
    ------
    InputError
        Where it cannot be used.
    """
    given = {key: value for key, value in sizing.items() if value is not None}
    if file is None:
        arrangement, folder = demo_arrangement(), Path()
    elif name := _stand_in(file):
        arrangement, folder = _stood_in(name), Path()
    elif file.suffix.lower() == ".toml":
        arrangement, folder = read_arrangement(file), file.parent
    elif file.suffix.lower().lstrip(".") in READABLE:
        arrangement, folder = (
            fill_model({"subject": {"mesh": file.name}}, Arrangement, str(file)),
            file.parent,
        )
    else:
        raise InputError(
            f"{file}: neither an arrangement (.toml) nor a mesh ({', '.join(sorted(READABLE))}) nor {STAND_IN}NAME"
        )
    if given:
        arrangement = _resized(arrangement, given, str(file or "the demo model"))
    subject = _loaded(arrangement, folder, tick)
    title = arrangement.title or (subject.name if subject else "An empty table")
    return Opened(arrangement, subject, title, str(file or "the demo model"), folder)


def _loaded(arrangement: Arrangement, folder: Path, tick: Tick = silent) -> Subject | None:
    """Return the subject of an arrangement, with its recesses measured where a wash is to settle in them."""
    subject = subject_of(arrangement, folder, tick=tick)
    wash = arrangement.subject.wash if arrangement.subject else None
    if subject is None or wash is None:
        return subject
    from render.images.store import Store
    from render.recesses import with_recesses

    tick("looking for recesses")
    return with_recesses(subject, wash.width_mm, Store())


def stand_in_words(file: Path | None) -> str | None:
    """Return in a sentence what a stand-in stands in for; None for what is none."""
    if file is None or not (name := _stand_in(file)):
        return None
    return standin_words(name)


def _stand_in(file: Path) -> str | None:
    return str(file).removeprefix(STAND_IN) if str(file).startswith(STAND_IN) else None


def _stood_in(name: str) -> Arrangement:
    mesh = f"{STAND_IN}{name}"
    return fill_model(with_standin({"subject": {"mesh": mesh}}), Arrangement, mesh)


def _resized(arrangement: Arrangement, given: dict[str, Any], where: str) -> Arrangement:
    if arrangement.subject is None:
        raise InputError(f"{where}: there is no [subject] to give a size")
    data = arrangement.model_dump(exclude_unset=True)
    if given.keys() & SIZES:
        for size in SIZES:
            data["subject"].pop(size, None)
    data["subject"].update(given)
    return fill_model(data, Arrangement, where)
