"""A setup in its place: subject, camera, backdrop, lamps and cards on the table, in cm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from materials.surface.finish import Finish
from scenes.arrangement.cards.board_model import BoardModel
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.lamps.lamp import Lamp
from scenes.stage.backdrop import Sweep
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.kind import SubjectKind
from scenes.subject.subject import Subject

from .place import Place

AS_PLACED: Final = "as-placed"
"""The setup of the lamps that the arrangement fixes by hand."""
EMPTY_TABLE_CM: Final = 18.0
"""The subject size that an empty table is laid out for."""


@dataclass(frozen=True)
class PlacedLamp:
    """A lamp at its place.

    `dimmer` is replaced where `stops_under_key` or `sheet_over_white` is given and solved. `hidden` says whether the
    subject occludes it from the camera, as its setup asks; `hangs`, whether its stand would be in the frame.
    """

    role: str
    lamp: Lamp
    place: Place
    dimmer: float
    stops_under_key: float | None = None
    hidden: bool = False
    sheet_over_white: float | None = None
    hangs: bool = False

    @property
    def extent_cm(self) -> tuple[float, float]:
        """Width and height of its luminous opening as it is placed, cm."""
        return self.lamp.extent_turned(upright=self.place.upright)

    @property
    def name(self) -> str:
        """The name that its owner gave it."""
        return self.lamp.name


@dataclass(frozen=True)
class PlacedSetup:
    """A setup on the table, in cm.

    `facing_deg` is the direction of the subject's front: 0 at the camera, positive to camera right; its `kind` says
    whether setups count from it. `board` is what the backdrop is made of. `meter` and `exposure_stops` are
    the setup's own exposure. `shortfalls` are sentences on what the setup asks for and does not get; `detail` names the
    parts of a close-up, and `whole_view` is then the view of the whole subject. `look_for` says what the picture should
    show; `reaches_ratios`, whether its lamps are as strong beside one another as it asks.
    """

    name: str
    reads_as: str
    subject: Subject | None
    view: Viewpoint
    sweep: Sweep | None
    board: BoardModel
    hero_cm: tuple[float, float, float]
    lamps: tuple[PlacedLamp, ...]
    cards: tuple[PlacedCard, ...]
    shortfalls: tuple[str, ...]
    detail: str | None = None
    whole_view: Viewpoint | None = None
    facing_deg: float = 0.0
    kind: SubjectKind = "object"
    meter: Literal["key", "card"] = "key"
    exposure_stops: float = 0.0
    look_for: tuple[str, ...] = ()
    reaches_ratios: bool = True

    @property
    def backdrop(self) -> Finish:
        """The finish of the backdrop."""
        return self.board.finish

    @property
    def backdrop_board(self) -> str:
        """What the backdrop is made of, by name."""
        return self.board.board

    @property
    def reference(self) -> int:
        """The number of the lamp that ratios count from: the first of role key, else the first."""
        return next((i for i, lamp in enumerate(self.lamps) if lamp.role == "key"), 0)

    @property
    def reference_lamp(self) -> PlacedLamp:
        """The lamp that ratios count from."""
        return self.lamps[self.reference]

    @property
    def size_cm(self) -> float:
        """Largest dimension of the subject, or what an empty table is laid out for, cm."""
        return self.subject.size_cm if self.subject else EMPTY_TABLE_CM
