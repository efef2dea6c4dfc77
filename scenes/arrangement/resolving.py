"""From a declared arrangement to values: its files are read, names become spectra, finishes, lamps and a subject."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, partial
from importlib import resources
from pathlib import Path
from typing import Final

from materials.colour.notation import is_reflectance_file, reflectance_from
from materials.light.spectra import Spectrum, blackbody
from scenes.builtin.standin import standin_kind, usual_parts
from scenes.errors import InputError
from scenes.lamps.emitter_shape import ROOM
from scenes.lamps.lamp import Lamp
from scenes.progress import Progress, no_progress
from scenes.subject.kind import SubjectKind, guessed_kind, usual_faces_deg
from scenes.subject.orientation.ranking import Orientation, ranked_orientations
from scenes.subject.part_finishes import PartFinishes, part_finishes
from scenes.subject.subject import Subject

from .arrangement import Arrangement, RoomModel
from .cards.card_model import CardModel
from .cards.placed_card import PlacedCard, placed_cards
from .folder import Folder
from .loading import load_declared
from .mistakes.file_kind import is_setup
from .owned import owned
from .reading import fill_model, read_toml
from .subject_model import SubjectModel

FINISH_KEYS: Final = {"topcoat", "no_topcoat", "parts", "wash"}
MESH_KEYS: Final = frozenset(SubjectModel.model_fields) - FINISH_KEYS - {"hero", "kind", "faces_deg"}
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
    model
        The model on the table, its front to the camera; None where none is declared.
    finishes
        The finishes of its parts.
    lamps
        The lamps owned, in order.
    cards
        Those that stand in every setup, and those without a place, which are owned; in order.
    room : (351,), optional
        Radiance of the room's light, W/(m2 sr nm); None in the dark.
    """

    declared: Arrangement
    folder: Folder
    model: Subject | None
    finishes: PartFinishes
    lamps: tuple[Lamp, ...]
    cards: tuple[CardModel, ...]
    room: Spectrum | None

    @property
    def kind(self) -> SubjectKind:
        """The kind of its subject: declared, known of a stand-in, or guessed from the model's dimensions."""
        return self.named_kind or (guessed_kind(self.dimensions_cm) if self.dimensions_cm else "object")

    @property
    def named_kind(self) -> SubjectKind | None:
        """The kind of its subject where one is declared or known of a stand-in."""
        declared = self.declared.subject
        return None if declared is None else declared.kind or standin_kind(declared.mesh)

    @property
    def kind_is_guessed(self) -> bool:
        """Whether its kind comes from the model's dimensions."""
        return self.model is not None and self.named_kind is None

    @property
    def faces_deg(self) -> float:
        """The direction that its subject faces: declared, or usual of its kind."""
        declared = self.declared.subject
        return usual_faces_deg(self.kind) if declared is None or declared.faces_deg is None else declared.faces_deg

    @property
    def subject(self) -> Subject | None:
        """The model as it stands, turned by `faces_deg`; None where none is declared."""
        return self.model and self.turned_model(self.faces_deg)

    def turned_model(self, facing_deg: float) -> Subject:
        """Return the model turned to face a direction: the same object each time, so that what it computes is kept."""
        if self.model is None:
            raise ValueError("an empty table has no model to turn")
        if facing_deg not in self._turned:
            self._turned[facing_deg] = self.model.turned(facing_deg)
        return self._turned[facing_deg]

    @cached_property
    def _turned(self) -> dict[float, Subject]:
        """The turned models so far, by the direction that each faces."""
        return {}

    @cached_property
    def ranked_orientations(self) -> tuple[Orientation, ...]:
        """How the model of a mesh file may stand, the likeliest first; of a built-in one or an empty table, none."""
        if self.model is None or self.declared.subject is None:
            return ()
        first = Path(self.declared.subject.meshes[0])
        return ranked_orientations(self.model, first.suffix.lower().removeprefix("."))

    @property
    def title(self) -> str:
        """What it is called, as a heading."""
        return self.declared.title or (self.model.name if self.model else "An empty table")

    @property
    def hero(self) -> str | None:
        """The pattern of the part that lamps aim at, where one is declared."""
        return self.declared.subject.hero if self.declared.subject else None

    @property
    def fixed_lamps(self) -> tuple[Lamp, ...]:
        """The lamps that are fixed by hand."""
        return tuple(lamp for lamp in self.lamps if lamp.model.at_cm is not None)

    @property
    def placed_cards(self) -> tuple[PlacedCard, ...]:
        """The boards of the cards that stand in every setup."""
        return placed_cards(self.cards)

    @property
    def owned_cards(self) -> tuple[CardModel, ...]:
        """The cards without a place: setups take them."""
        return tuple(card for card in self.cards if card.at_cm is None)

    @property
    def dimensions_cm(self) -> tuple[float, float, float] | None:
        """Width, length and height of the model itself, cm, along its own axes."""
        if self.model is None:
            return None
        low, high = self.model.model_bounds_cm
        width, length, height = (float(v) for v in high - low)
        return width, length, height

    def changed(self, declared: Arrangement) -> ResolvedArrangement:
        """Return another arrangement of the same folder, resolved; the model is reused where its mesh is the same.

        Raises
        ------
        InputError
            As `resolve` does.
        """
        return resolve(declared, self.folder, like=self)

    def _has_mesh_of(self, subject: SubjectModel, folder: Folder) -> bool:
        """Return whether its model is the one that a subject declares in a folder."""
        own = self.declared.subject
        return own is not None and self.folder.path == folder.path and mesh_values(own) == mesh_values(subject)


def read_arrangement(path: Path) -> Arrangement:
    """Return the arrangement that is declared in a TOML file.

    Raises
    ------
    InputError
        Where the file cannot be read or a key in it is wrong.
    """
    data = read_toml(path)
    if is_setup(data):
        raise InputError(
            f"{path} is a setup, and no arrangement: it is seen by spruelight proof {path} ARRANGEMENT.toml, or with "
            f"--setup {path}"
        )
    return fill_model(data, Arrangement, str(path))


def demo_arrangement() -> Arrangement:
    """Return the arrangement of the built-in demo model."""
    with resources.as_file(resources.files("scenes.builtin") / "diver.toml") as path:
        return read_arrangement(path)


def resolve(
    declared: Arrangement, folder: Folder, *, progress: Progress = no_progress, like: ResolvedArrangement | None = None
) -> ResolvedArrangement:
    """Return an arrangement with values in place of names; its files are read from `folder` alone.

    `progress` is called with a description of each step, since a large mesh takes a while. The model of `like`, an
    arrangement in the same folder, is reused where it is the same.

    Raises
    ------
    InputError
        Where a file is missing, wrong or elsewhere, a lamp is not declared completely, or the mesh cannot be used.
    """
    resolved = resolve_values(declared, folder)
    if declared.subject is None:
        return resolved
    shared = like.model if like is not None and like._has_mesh_of(declared.subject, folder) else None
    return replace(resolved, model=shared or load_declared(declared.subject, folder, progress))


def resolve_values(declared: Arrangement, folder: Folder) -> ResolvedArrangement:
    """Return an arrangement resolved but for its model."""
    subject, finishes = declared.subject, PartFinishes()
    if subject is not None:
        finishes = part_finishes(subject, partial(_reflectance, folder), usual_parts(subject.mesh))
    lamps, cards = owned(declared, folder)
    return ResolvedArrangement(
        declared=declared,
        folder=folder,
        model=None,
        finishes=finishes,
        lamps=lamps,
        cards=cards,
        room=room_radiance(declared.room),
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


def mesh_values(subject: SubjectModel) -> tuple[object, ...]:
    """Return all of a declared subject that its loaded model depends on."""
    return *(getattr(subject, key) for key in sorted(MESH_KEYS)), subject.wash and subject.wash.width_mm
