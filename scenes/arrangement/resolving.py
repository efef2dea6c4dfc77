"""From a declared arrangement to values: its files are read, names become spectra, finishes, lamps and a subject."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from importlib import resources
from pathlib import Path
from typing import Final

from materials.colour.notation import is_reflectance_file, reflectance_from
from materials.light.spectra import Spectrum, blackbody
from scenes.builtin.standin import usual_faces_deg, usual_parts
from scenes.errors import InputError
from scenes.lamps.emitter_shape import ROOM
from scenes.lamps.lamp import Lamp
from scenes.progress import Progress, no_progress
from scenes.subject.part_finishes import PartFinishes, part_finishes
from scenes.subject.subject import Subject

from .arrangement import Arrangement, RoomModel
from .folder import Folder
from .loading import load_declared
from .owned import owned_lamps
from .reading import read_model
from .subject_model import SubjectModel

FINISH_KEYS: Final = {"topcoat", "no_topcoat", "parts", "wash"}
MESH_KEYS: Final = frozenset(SubjectModel.model_fields) - FINISH_KEYS - {"hero", "faces_deg"}
"""The keys of a subject that its loaded mesh depends on; so does the width of a wash."""


@dataclass(frozen=True, eq=False)
class ResolvedArrangement:
    """An arrangement with values in place of names: nothing after it reads files.

    Parameters
    ----------
    declared
        The arrangement as written.
    folder
        The folder of its files, and its name in messages.
    subject
        The model on the table, turned by `faces_deg`; None where none is declared.
    finishes
        The finishes of its parts.
    lamps
        The lamps owned, in order.
    room : (351,), optional
        Radiance of the room's light, W/(m2 sr nm); None in the dark.
    faces_deg
        The direction that the subject faces: declared, or usual of a stand-in.
    """

    declared: Arrangement
    folder: Folder
    subject: Subject | None
    finishes: PartFinishes
    lamps: tuple[Lamp, ...]
    room: Spectrum | None
    faces_deg: float

    @property
    def title(self) -> str:
        """What it is called, as a heading."""
        return self.declared.title or (self.subject.name if self.subject else "An empty table")

    @property
    def hero(self) -> str | None:
        """The pattern of the part that lamps aim at, where one is declared."""
        return self.declared.subject.hero if self.declared.subject else None

    @property
    def fixed_lamps(self) -> tuple[Lamp, ...]:
        """The lamps that are fixed by hand."""
        return tuple(lamp for lamp in self.lamps if lamp.model.at_cm is not None)

    @property
    def dimensions_cm(self) -> tuple[float, float, float] | None:
        """Width, length and height of the model itself, cm, along its own axes."""
        if self.subject is None:
            return None
        low, high = self.subject.turned(-self.faces_deg).model_bounds_cm
        width, length, height = (float(v) for v in high - low)
        return width, length, height

    def changed(self, declared: Arrangement) -> ResolvedArrangement:
        """Return another arrangement of the same folder, resolved; the subject is reused where its mesh is the same.

        Raises
        ------
        InputError
            As `resolve` does.
        """
        now, then = declared.subject, self.declared.subject
        if self.subject is None or now is None or then is None or not _same_mesh(now, then):
            return resolve(declared, self.folder)
        resolved = resolve_values(declared, self.folder)
        return replace(resolved, subject=self.subject.turned(resolved.faces_deg - self.faces_deg))


def read_arrangement(path: Path) -> Arrangement:
    """Return the arrangement that is declared in a TOML file.

    Raises
    ------
    InputError
        Where the file cannot be read or a key in it is wrong.
    """
    return read_model(path, Arrangement)


def demo_arrangement() -> Arrangement:
    """Return the arrangement of the built-in demo model."""
    with resources.as_file(resources.files("scenes.builtin") / "diver.toml") as path:
        return read_arrangement(path)


def resolve(declared: Arrangement, folder: Folder, *, progress: Progress = no_progress) -> ResolvedArrangement:
    """Return an arrangement with values in place of names; its files are read from `folder` alone.

    `progress` is called with a description of each step, since a large mesh takes a while.

    Raises
    ------
    InputError
        Where a file is missing, wrong or elsewhere, a lamp is not declared completely, or the mesh cannot be used.
    """
    resolved = resolve_values(declared, folder)
    if declared.subject is None:
        return resolved
    facing = declared.subject.model_copy(update={"faces_deg": resolved.faces_deg})
    return replace(resolved, subject=load_declared(facing, folder, progress))


def resolve_values(declared: Arrangement, folder: Folder) -> ResolvedArrangement:
    """Return an arrangement resolved but for its subject."""
    subject = declared.subject
    finishes, faces_deg = PartFinishes(), 0.0
    if subject is not None:
        finishes = part_finishes(subject, partial(_reflectance, folder), usual_parts(subject.mesh))
        is_stated = "faces_deg" in subject.model_fields_set
        faces_deg = subject.faces_deg if is_stated else usual_faces_deg(subject.mesh)
    return ResolvedArrangement(
        declared=declared,
        folder=folder,
        subject=None,
        finishes=finishes,
        lamps=owned_lamps(declared, folder),
        room=room_radiance(declared.room),
        faces_deg=faces_deg,
    )


def room_radiance(room: RoomModel) -> Spectrum | None:
    """Return the radiance of a room's light, (351,) W/(m2 sr nm), or None in the dark."""
    return blackbody(room.kelvin) * room.lux / ROOM.etendue if room.lux > 0 else None


def _reflectance(folder: Folder, key: str, words: str) -> Spectrum:
    """Return the reflectance of a colour notation, or of a file in the folder."""
    try:
        return reflectance_from(str(folder.find(key, words)) if is_reflectance_file(words) else words)
    except ValueError as error:
        raise InputError(f"{folder.source}: {key}: {error}") from None


def _same_mesh(one: SubjectModel, other: SubjectModel) -> bool:
    widths = [subject.wash and subject.wash.width_mm for subject in (one, other)]
    return widths[0] == widths[1] and all(getattr(one, key) == getattr(other, key) for key in MESH_KEYS)
