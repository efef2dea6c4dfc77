"""Setups as data: placements of lamps and cards relative to any subject."""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from typing import Annotated, Any, ClassVar, Final, Literal, Protocol, TypeVar

from pydantic import BeforeValidator, Field

from materials.packaged import packaged_toml
from materials.surface.boards import board_name
from scenes.arrangement.cards.board_model import BoardName, MattBoard
from scenes.arrangement.mistakes.file_kind import is_arrangement, is_kit
from scenes.arrangement.reading import fill_model, read_toml
from scenes.arrangement.value_types import Dimmer, Model, Name
from scenes.errors import InputError, nearest
from scenes.mesh.files.formats import is_mesh_name


def _aim(value: object) -> object:
    if value == "wall":
        raise ValueError("aim at the 'sheet': its middle as it shows in the frame round the subject")
    return value


def _as_list(value: Any) -> Any:
    return value if isinstance(value, list | tuple) else [value]


Sizes = Annotated[float, Field(ge=0.01, le=20, description="in subject sizes: its largest dimension")]
Aim = Annotated[Literal["hero", "middle", "base", "sheet"], BeforeValidator(_aim)]

MOST_ALTERNATIVES: Final = 10
MOST_PLACED: Final = 20
"""Lamps or cards of a setup."""
MOST_LOOKED_FOR: Final = 5
"""Sentences on what a picture should show."""
SHEET_ORDER = (
    "butterfly", "butterfly-close", "butterfly-card", "loop", "rembrandt", "split", "rim",
    "rim-fill", "broad", "short", "clamshell", "three-point", "high-key", "low-key",
)  # fmt: skip


class RelativePlacement(Model):
    """A place relative to the subject and the direction that it faces."""

    removed: ClassVar[dict[str, str]] = {
        "out_of_frame": "lamps and cards leave the frame by themselves; hidden = true lets the subject hide one, "
        "and one below the frame is placed there by round_deg, rise_deg and tilt_deg"
    }

    round_deg: float = Field(0.0, ge=-180, le=180, description="0 before the face, +90 camera right")
    rise_deg: float = Field(0.0, ge=-90, le=90, description="above what it aims at")
    distance: Sizes = 1.0
    clearance_cm: float = Field(3.0, ge=0, le=200, description="never nearer to the subject than this")
    aim: Aim = "hero"
    tilt_deg: float = Field(0.0, ge=-90, le=90, description="points this much higher than its aim")
    from_camera: bool = Field(False, description="round_deg counts from the camera, not from the face")
    within_deg: float = Field(25.0, gt=0, le=180, description="farther off its place is said to be a lack")
    hidden: bool = Field(False, description="stands in the frame, hidden behind the subject")
    upright: bool = Field(False, description="the longer side of a panel upright, where that fits")


Placement = TypeVar("Placement", bound=RelativePlacement)


class PlacementChange(Protocol):
    """A change of a lamp's or a card's placement."""

    def __call__(self, placement: Placement, /) -> Placement:
        """Return the placement changed."""


class SetupLamp(RelativePlacement):
    """A lamp of a setup, in relative terms."""

    role: Name
    pick: Literal["next", "smallest"] = Field("next", description="which of the lamps owned")
    directed: bool = Field(False, description="shines one way: a bulb would light the sheet as well")
    dimmer: Dimmer = 1.0
    stops_under_key: float | None = Field(None, ge=0, le=10, description="solves the dimmer at the hero")
    sheet_over_white: float | None = Field(
        None, gt=0, le=4, description="solves the dimmer: the median luminance of the sheet over the frame's white"
    )


class SetupCard(RelativePlacement):
    """A card or a flag of a setup; its size is in subject sizes."""

    role: Name
    size: tuple[Sizes, Sizes]
    reflectance: BoardName


class SetupBackdrop(Model):
    """The backdrop of a setup, in place of the arrangement's."""

    reflectance: Annotated[tuple[MattBoard, ...], BeforeValidator(_as_list)] = Field(
        min_length=1, max_length=MOST_PLACED, description="one board or cloth, or several, the preferred first"
    )

    @property
    def board(self) -> str:
        """What it is made of, by name: the preferred one."""
        return board_name(self.reflectance[0], None)


class Alternative(Model):
    """Other lamps for a setup, where the first do not fit or are not owned; cards and backdrop are the setup's."""

    lamps: tuple[SetupLamp, ...] = Field(min_length=1, max_length=MOST_PLACED)
    cards: tuple[SetupCard, ...] | None = Field(None, max_length=MOST_PLACED, description="in place of the setup's")
    backdrop: SetupBackdrop | None = Field(None, description="in place of the setup's")

    def with_placements(self, changed: PlacementChange) -> Alternative:
        """Return the alternative with each of its placements changed."""
        cards = None if self.cards is None else tuple(map(changed, self.cards))
        return self.model_copy(update={"lamps": tuple(map(changed, self.lamps)), "cards": cards})


class Setup(Model):
    """One setup file."""

    format: Literal[1] = 1
    reads_as: Name
    look_for: tuple[Name, ...] = Field((), max_length=MOST_LOOKED_FOR, description="what the picture should show")
    turn_deg: float = Field(0.0, ge=-180, le=180, description="turns the face this far off the camera, + to its right")
    meter: Literal["key", "card"] = Field("key", description="what the exposure is metered with")
    exposure_stops: float = Field(0.0, ge=-5, le=5, description="brighter than its meter reads")
    lamps: tuple[SetupLamp, ...] = Field(min_length=1, max_length=MOST_PLACED)
    cards: tuple[SetupCard, ...] = Field((), max_length=MOST_PLACED)
    backdrop: SetupBackdrop | None = None
    alternatives: tuple[Alternative, ...] = Field((), max_length=MOST_ALTERNATIVES, description="tried in their order")

    def with_placements(self, changed: PlacementChange) -> Setup:
        """Return the setup with each of its placements changed, those of its alternatives too."""
        return self.model_copy(
            update={
                "lamps": tuple(map(changed, self.lamps)),
                "cards": tuple(map(changed, self.cards)),
                "alternatives": tuple(other.with_placements(changed) for other in self.alternatives),
            }
        )

    def mirrored(self) -> Setup:
        """Return the setup with left and right exchanged."""
        return self.with_placements(_mirrored).model_copy(update={"turn_deg": -self.turn_deg})

    def variants(self) -> tuple[Setup, ...]:
        """Return the setup as it is first tried, then with each of its alternatives in place of its lamps."""
        others = ({key: value for key, value in other if value is not None} for other in self.alternatives)
        return (self, *(self.model_copy(update=other) for other in others))


def _mirrored(placement: Placement) -> Placement:
    return placement.model_copy(update={"round_deg": -placement.round_deg})


def setup_names() -> tuple[str, ...]:
    """Return the names of the setups that come with spruelight, the default sheet's first."""
    files = resources.files("scenes.setups") / "data"
    found = {Path(f.name).stem for f in files.iterdir() if f.name.endswith(".toml")}
    return (*SHEET_ORDER, *sorted(found - set(SHEET_ORDER)))


def _read_setup(path: Path) -> Setup:
    data = read_toml(path)
    if is_arrangement(data):
        raise InputError(
            f"{path} is an arrangement, and no setup: name a setup before it, as spruelight proof rembrandt {path}, or "
            "with --setup"
        )
    if is_kit(data):
        raise InputError(f'{path} is a kit, and no setup: an arrangement names it, as kit = "{path.name}" at its top')
    return fill_model(data, Setup, str(path))


def load_setup(name: str) -> Setup:
    """Return a setup by name, or from a file of the person's own where `name` ends in .toml.

    Raises
    ------
    InputError
        Where there is none, or the file is wrong.
    """
    if name.endswith(".toml"):
        return _read_setup(Path(name))
    if is_mesh_name(name):
        raise InputError(
            f"{name} is a mesh, and no setup: name a setup before it, as spruelight proof rembrandt {name} "
            "--height-cm 18, or with --setup"
        )
    name = name.lower()
    if name not in setup_names():
        raise InputError(f"no setup is called '{name}'{nearest(name, setup_names())}")
    return Setup.model_validate(packaged_toml("scenes.setups", f"data/{name}.toml"))
