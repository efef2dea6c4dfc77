"""The models of the arrangement file: what a person declares, checked key by key."""

from __future__ import annotations

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, field_validator, model_validator

from materials.finishes import named_boards, named_finishes
from materials.spectra import KELVIN_RANGE

from .errors import nearest
from .geometry import unit

ROOM_LUX = {"dark": 0.0, "evening lamp": 40.0, "lit room": 200.0}


def _direction(v: tuple[float, float, float]) -> tuple[float, float, float]:
    try:
        unit(v)
    except ValueError:
        raise ValueError("a direction needs a number that is not 0, and none that is huge") from None
    return v


Length: TypeAlias = Annotated[float, Field(gt=0, le=2000, allow_inf_nan=False)]
Point: TypeAlias = Annotated[tuple[float, float, float], Field(description="cm: camera right, away, up")]
Direction: TypeAlias = Annotated[tuple[float, float, float], AfterValidator(_direction)]
BoardSize: TypeAlias = Annotated[tuple[Length, Length], Field(description="cm: width (level), height")]
Kelvin: TypeAlias = Annotated[float, Field(ge=KELVIN_RANGE[0], le=KELVIN_RANGE[1])]
Dimmer: TypeAlias = Annotated[float, Field(ge=0, le=1)]
HexColour: TypeAlias = Annotated[str, Field(pattern=r"^#[0-9a-fA-F]{6}$")]
GlossUnits: TypeAlias = Annotated[float, Field(gt=0, le=89)]


class Model(BaseModel):
    """Frozen, and every unknown key is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


def _board_reflectance(value: object) -> float:
    if isinstance(value, str):
        boards = named_boards()
        if value not in boards:
            raise ValueError(f"no board or paper is called '{value}'{nearest(value, boards)}")
        return float(boards[value].reflectance)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError("a reflectance is a number from 0 to 1 or the name of a board or paper")
    if not 0 <= value <= 1:
        raise ValueError("a reflectance lies between 0 and 1")
    return float(value)


def _topcoat_gloss(value: object) -> float | None:
    if isinstance(value, str):
        finishes = named_finishes()
        if value not in finishes:
            raise ValueError(f"no finish is called '{value}'{nearest(value, finishes)}")
        return float(finishes[value].gloss_units)
    return value  # type: ignore[return-value]  # a number, or an error that the field itself reports


class PartFinish(Model):
    """The finish of the parts that a wildcard matches."""

    match: str = "*"
    base: HexColour | None = Field(None, description="the colour as seen, without its shine")
    metal: bool = False
    roughness: float | None = Field(None, gt=0, le=1, description="0.05 polished, 0.4 dull")
    gloss: GlossUnits | None = Field(None, description="gloss units at 60 degrees")

    @model_validator(mode="after")
    def _one_way_to_say_it(self) -> PartFinish:
        if self.metal and self.gloss is not None:
            raise ValueError("metal takes roughness, paint and plastic take gloss")
        if self.roughness is not None and self.gloss is not None:
            raise ValueError("give roughness or gloss, not both")
        return self


class SubjectModel(Model):
    """The model to be photographed."""

    mesh: str = Field(description="a file beside the arrangement, or demo:diver")
    height_cm: Length | None = None
    length_cm: Length | None = None
    width_cm: Length | None = None
    unit: Literal["mm", "cm", "m", "in"] | None = None
    up: Literal["x", "y", "z", "-x", "-y", "-z"] | None = Field(None, description="the file's own up")
    front: Literal["x", "y", "z", "-x", "-y", "-z"] | None = Field(
        None, description="where the model's face looks in the file"
    )
    faces_deg: float = Field(0.0, ge=-180, le=180, description="0 looks at the camera, + to camera right")
    hero: str | None = Field(None, description="the part that setups aim at, with wildcards")
    topcoat: GlossUnits | None = Field(None, description="a named finish or gloss units, over every part not masked")
    mask: tuple[str, ...] = Field((), description="parts that the topcoat leaves out")
    parts: tuple[PartFinish, ...] = ()

    _named_topcoat = field_validator("topcoat", mode="before")(_topcoat_gloss)


class CameraModel(Model):
    """Where the camera stands and how it exposes."""

    kind: Literal["phone", "camera"] = "phone"
    distance_cm: Length | None = Field(None, description="from the centre mark; else 3.9 subject sizes")
    height_cm: Length | None = None
    fill_frame: float = Field(0.7, ge=0.1, le=1.0)
    exposure: Literal["auto"] = "auto"
    shutter_s: float | None = Field(None, gt=0, le=3600)
    iso: float | None = Field(None, ge=6, le=409600)
    white_balance: Literal["auto"] | Kelvin = "auto"

    @model_validator(mode="after")
    def _shutter_and_iso_together(self) -> CameraModel:
        if (self.shutter_s is None) != (self.iso is None):
            raise ValueError("shutter_s and iso fix the exposure together: give both, or neither")
        return self


class BackdropModel(Model):
    """The seamless sheet: table, curve and wall in one."""

    kind: Literal["sweep", "none"] = "sweep"
    reflectance: float = Field(0.18, description="a number, or a name such as 'white paper'")
    sheet_cm: BoardSize | None = Field(None, description="width and length of the real sheet")
    distance_cm: Length | None = Field(None, description="from the subject's centre to the wall")

    _named_reflectance = field_validator("reflectance", mode="before")(_board_reflectance)


class RoomModel(Model):
    """The light of the room, uniform from all round."""

    lux: float = Field(0.0, ge=0, le=200000, description="or: " + ", ".join(ROOM_LUX))
    kelvin: Kelvin = 3000.0

    @field_validator("lux", mode="before")
    @classmethod
    def _in_words(cls, value: Any) -> Any:
        if not isinstance(value, str):
            return value
        if value not in ROOM_LUX:
            raise ValueError(f"no room light is called '{value}'{nearest(value, ROOM_LUX)}")
        return ROOM_LUX[value]


class LampModel(Model):
    """A lamp that the person owns."""

    name: str
    kind: Literal["panel", "disc", "bulb"] = "panel"
    size_cm: BoardSize | None = Field(None, description="of a panel: width (level) and height")
    diameter_cm: Length | None = Field(None, description="of a disc or a bulb")
    lumens: float = Field(1000.0, gt=0, le=1e6)
    kelvin: Kelvin = 4000.0
    dimmer: Dimmer = 1.0
    at_cm: Point | None = None
    aim_cm: Point | None = None

    @model_validator(mode="after")
    def _size_of_its_kind(self) -> LampModel:
        if self.kind == "panel" and (self.size_cm is None or self.diameter_cm is not None):
            raise ValueError("a panel takes size_cm = [width, height]")
        if self.kind != "panel" and (self.diameter_cm is None or self.size_cm is not None):
            raise ValueError(f"a {self.kind} takes diameter_cm")
        if self.kind != "bulb" and (self.at_cm is None) != (self.aim_cm is None):
            raise ValueError("a lamp fixed by hand takes both at_cm and aim_cm")
        return self

    @property
    def extent_cm(self) -> tuple[float, float]:
        """Width and height of what the lamp takes up, facing it."""
        return self.size_cm or (self.diameter_cm or 0.0, self.diameter_cm or 0.0)


class CardModel(Model):
    """A matt board that bounces light, or a black one that blocks it."""

    name: str = "card"
    size_cm: BoardSize
    reflectance: float = 0.85
    at_cm: Point
    facing: Direction

    _named_reflectance = field_validator("reflectance", mode="before")(_board_reflectance)


class MeterModel(Model):
    """An incident light meter, at a point or averaged over an area."""

    name: str
    at_cm: Point
    facing: Direction
    size_cm: BoardSize | None = None


class Arrangement(Model):
    """One arrangement file."""

    format: Literal[1] = 1
    title: str | None = None
    subject: SubjectModel | None = None
    camera: CameraModel = CameraModel()
    backdrop: BackdropModel = BackdropModel()
    room: RoomModel = RoomModel()
    lamps: tuple[LampModel, ...] = ()
    cards: tuple[CardModel, ...] = ()
    meters: tuple[MeterModel, ...] = ()

    @model_validator(mode="after")
    def _lamp_names_differ(self) -> Arrangement:
        names = [lamp.name for lamp in self.lamps]
        for name in names:
            if names.count(name) > 1:
                raise ValueError(f"two lamps are called '{name}'; give each its own name")
        return self

    @property
    def fixed_lamps(self) -> tuple[LampModel, ...]:
        """The lamps that the person placed by hand."""
        return tuple(lamp for lamp in self.lamps if lamp.at_cm is not None)
