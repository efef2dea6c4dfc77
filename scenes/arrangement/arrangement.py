"""The models of the arrangement file, validated key by key."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BeforeValidator, Field, ValidationInfo, field_validator, model_validator

from scenes.arrangement.cards.board_model import BoardModel, MattBoard
from scenes.arrangement.cards.card_model import DeclaredCard
from scenes.arrangement.lamp_model import LampModel, names_differ
from scenes.errors import nearest
from scenes.stage.cameras import CameraBody, camera_bodies

from .cards.paper_sizes import BoardSize
from .subject_model import SubjectModel
from .value_types import MOST_THINGS, Chromaticity, Degrees, Direction, Kelvin, Length, Millimetres, Model, Name, Point

LONGEST_SENSOR = 3
"""Long side over short side, at most."""
ROOM_LUX = {"dark": 0.0, "evening lamp": 40.0, "lit room": 200.0, "window": 1000.0}


def _fraction(value: Any) -> Any:
    parts = re.fullmatch(r"(\d{1,5})/(\d{1,5})(?: ?s)?", value.strip()) if isinstance(value, str) else None
    return int(parts[1]) / int(parts[2]) if parts and int(parts[2]) else value


Shutter: TypeAlias = Annotated[
    float, BeforeValidator(_fraction, json_schema_input_type=float | str), Field(gt=0, le=3600)
]


class CameraModel(Model):
    """The camera: position, framing and exposure."""

    kind: Literal["phone", "phone-tele", "camera", "aps-c"] = "phone"
    distance_cm: Length | None = Field(None, description="from the centre mark; else 3.9 subject sizes")
    height_cm: Length | None = None
    fill_frame: float = Field(0.7, ge=0.1, le=1.0)
    facings_deg: tuple[Degrees, ...] | None = Field(
        None, min_length=1, max_length=MOST_THINGS,
        description="the frame has room for the subject facing each of these ways; else each way that setups turn it",
    )  # fmt: skip
    sensor_mm: tuple[Millimetres, Millimetres] | None = Field(None, description="its sides; else those of its kind")
    focal_mm: Millimetres | tuple[Millimetres, Millimetres] | None = Field(
        None, description="of the lens, or shortest and longest; else that of its kind"
    )
    f_number: float | None = Field(None, gt=0.5, le=64, description="else that of its kind; exposure never changes it")
    exposure: Literal["key", "card", "scene"] = Field("key", description="what the exposure is metered by")
    stops: float = Field(0.0, ge=-5, le=5, description="brighter than metered; darker where negative")
    support: Literal["tripod", "hand"] = "tripod"
    shutter_s: Shutter | None = Field(None, description='seconds, or a fraction as "1/60"')
    iso: float | None = Field(None, ge=6, le=409600)
    white_balance: Literal["auto"] | Kelvin | Chromaticity = Field(
        "auto", description="auto, kelvin, or the chromaticity [x, y] (CIE 1931) of the light that comes out white"
    )

    @field_validator("sensor_mm")
    @classmethod
    def _long_side_first(cls, value: tuple[float, float] | None) -> tuple[float, float] | None:
        if value is None:
            return None
        short, long = sorted(value)
        if long > LONGEST_SENSOR * short:
            raise ValueError(f"a sensor's long side is at most {LONGEST_SENSOR} times its short one")
        return long, short

    @field_validator("white_balance")
    @classmethod
    def _possible_light(cls, value: Any) -> Any:
        if isinstance(value, tuple) and sum(value) >= 1:
            raise ValueError("x and y of a chromaticity are less than 1 together, as [0.38, 0.38]")
        return value

    @field_validator("f_number")
    @classmethod
    def _within_its_lens(cls, value: float | None, info: ValidationInfo) -> float | None:
        body = camera_bodies()[info.data["kind"]] if "kind" in info.data else None
        if value is not None and body is not None and not body.accepts(value):
            raise ValueError(f"{body.description} has {body.apertures}")
        return value

    @model_validator(mode="after")
    def _shutter_and_iso_together(self) -> CameraModel:
        if (self.shutter_s is None) != (self.iso is None):
            raise ValueError("shutter_s and iso fix the exposure together: give both, or neither")
        return self

    @property
    def body(self) -> CameraBody:
        """Its kind's body, with the sensor and the focal lengths given here."""
        body = camera_bodies()[self.kind]
        focal = self.focal_mm or body.focal_mm
        shortest, longest = focal if isinstance(focal, tuple) else (focal, focal)
        sensor = self.sensor_mm or body.sensor_mm
        return replace(body, sensor_mm=sensor, focal_mm=(min(shortest, longest), max(shortest, longest)))

    @property
    def aperture(self) -> float:
        """The f-number in use."""
        return self.f_number or self.body.f_number


class BackdropModel(BoardModel):
    """The backdrop: a seamless sweep of table, curve and wall, or none."""

    kind: Literal["sweep", "none"] = "sweep"
    reflectance: MattBoard = Field(0.18, description="a number, or a name such as 'white paper'")
    sheet_cm: BoardSize | None = Field(None, description="width and length of the real sheet")
    distance_cm: Length | None = Field(None, description="from the subject's centre to the wall")


class Clearance(Model):
    """Room for lamps, from the centre mark; without limit where nothing is stated."""

    left: Length | None = Field(None, description="to camera left of the centre mark, cm")
    right: Length | None = Field(None, description="to camera right, cm")
    behind: Length | None = Field(None, description="away from the camera, cm")
    front: Length | None = Field(None, description="towards the camera, cm")
    above: Length | None = Field(None, description="above the table, cm")


class RoomModel(Model):
    """The room: its ambient light, uniform over all directions, and how far it reaches round the table."""

    clear_cm: Clearance = Field(Clearance(), description="room for lamps, from the centre mark")
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

    name: Name
    at_cm: Point
    facing: Direction
    size_cm: BoardSize | None = None


class Arrangement(Model):
    """One arrangement file."""

    format: Literal[1] = 1
    title: Name | None = None
    subject: SubjectModel | None = None
    camera: CameraModel = CameraModel()
    backdrop: BackdropModel = BackdropModel()
    room: RoomModel = RoomModel()
    kit: str | None = Field(None, description="a file of [[lamps]] and [[cards]] that are owned, beside this one")
    lamps: tuple[LampModel, ...] = Field((), max_length=MOST_THINGS)
    cards: tuple[DeclaredCard, ...] = Field((), max_length=MOST_THINGS)
    meters: tuple[MeterModel, ...] = Field((), max_length=MOST_THINGS)

    @model_validator(mode="after")
    def _lamp_names_differ(self) -> Arrangement:
        names_differ(self.lamps)
        return self
