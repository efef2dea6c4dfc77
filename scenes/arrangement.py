"""The models of the arrangement file: what a person declares, checked key by key."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field, field_validator, model_validator

from materials.boards import board_finish
from materials.colours import reflectance_from_hex
from materials.finishes import Finish, named_finishes

from .cards import CardModel, MattBoard
from .errors import nearest
from .lamps import LampModel, names_differ
from .model import BoardSize, Direction, GlossUnits, HexColour, Kelvin, Length, Model, Point

ROOM_LUX = {"dark": 0.0, "evening lamp": 40.0, "lit room": 200.0, "window": 1000.0}


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
    reflectance: MattBoard = Field(0.18, description="a number, or a name such as 'white paper'")
    colour: HexColour | None = Field(None, description="of coloured board or cloth, in place of a reflectance")
    sheet_cm: BoardSize | None = Field(None, description="width and length of the real sheet")
    distance_cm: Length | None = Field(None, description="from the subject's centre to the wall")

    @model_validator(mode="after")
    def _one_colour(self) -> BackdropModel:
        if self.colour is not None and "reflectance" in self.model_fields_set:
            raise ValueError("give reflectance or colour, not both")
        return self

    @property
    def finish(self) -> Finish:
        """How it takes light."""
        return Finish.board(reflectance_from_hex(self.colour)) if self.colour else board_finish(self.reflectance)


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
    kit: str | None = Field(None, description="a file of [[lamps]] that are owned, beside this one")
    lamps: tuple[LampModel, ...] = ()
    cards: tuple[CardModel, ...] = ()
    meters: tuple[MeterModel, ...] = ()

    @model_validator(mode="after")
    def _lamp_names_differ(self) -> Arrangement:
        names_differ(self.lamps)
        return self

    @property
    def fixed_lamps(self) -> tuple[LampModel, ...]:
        """The lamps that the person placed by hand."""
        return tuple(lamp for lamp in self.lamps if lamp.at_cm is not None)
