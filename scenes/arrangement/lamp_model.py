"""A lamp as an arrangement declares it, from a label, a light meter or a file; and a complete declaration."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar, Literal

from pydantic import Field, field_validator, model_validator

from materials.light.illuminants import illuminant_names
from materials.light.led import RA_RANGE, best_ra
from materials.packaged import packaged_toml
from materials.surface.boards import named_boards
from scenes.errors import nearest

from .cards.board_words import find_board
from .cards.paper_sizes import BoardSize
from .value_types import Dimmer, Kelvin, Length, Model, Name, Point

SPECTRUM_FILES = (".csv", ".txt", ".spdx", ".xml")
SPECTRA = ("blackbody", "led")
ALTERNATIVES = (
    ("lumens", "watts", "lux_at"), ("spectrum", "kelvin_range"), ("photometry", "beam_deg"), ("grid_deg", "snoot"),
    ("size_cm", "diameter_cm"),
)  # fmt: skip
"""Keys that state the same property of a lamp."""


class LuxAt(Model):
    """The reading of a light meter on the lamp's axis, facing it, in the dark."""

    lux: float = Field(gt=0, le=1e7)
    cm: Length


class Snoot(Model):
    """A black tube before the lamp."""

    length_cm: Length
    diameter_cm: Length


class LampModel(Model):
    """A lamp that is owned, as written; a kit, a preset or a photometric file may complete it."""

    renamed: ClassVar[dict[str, str]] = {"dims": "dimmable", "sheet": "diffuser"}

    name: Name
    preset: str | None = Field(None, description="a generic lamp that says what is left out here: `list lamps`")
    kind: Literal["panel", "disc", "ring", "bulb"] = "panel"
    size_cm: BoardSize | None = Field(None, description="of a panel: width (level) and height")
    diameter_cm: Length | None = Field(None, description="of a disc, a ring or a bulb")
    hole_cm: Length | None = Field(None, description="of a ring: the diameter of its hole")
    lumens: float | None = Field(None, gt=0, le=1e6, description="as on the label: of the bare lamp; else 1000")
    watts: float | None = Field(None, gt=0, le=1e4, description="electrical; stands in for unknown lumens")
    lux_at: LuxAt | None = Field(None, description="a meter's reading, in place of lumens")
    kelvin: Kelvin = 4000.0
    kelvin_range: tuple[Kelvin, Kelvin] | None = Field(None, description="of a bi-colour lamp")
    spectrum: str | None = Field(None, description="blackbody, led, a CIE illuminant, or a CSV or IES TM-27 file")
    ra: float | None = Field(
        None,
        ge=RA_RANGE[0],
        le=RA_RANGE[1],
        description="colour rendering of an LED; else 80, of a bi-colour one 95",
    )
    photometry: str | None = Field(None, description="an IES LM-63 or EULUMDAT file: where the light goes")
    beam_deg: float | None = Field(None, ge=2, le=170, description="full angle between directions of half the peak")
    grid_deg: float | None = Field(None, ge=5, le=90, description="a honeycomb before the lamp, by its angle")
    snoot: Snoot | None = None
    diffuser: str | None = Field(None, description="a diffuser lying on the lamp, as 'tracing paper'")
    dimmer: Dimmer = 1.0
    dimmable: bool = Field(True, description="whether it can be dimmed")
    nearest_cm: Length | None = Field(
        None, description="the least distance to what it lights that its label asks for (IEC 60598-1)"
    )
    at_cm: Point | None = None
    aim_cm: Point | None = None
    role: Name | None = Field(None, description="of a lamp fixed by hand: key, fill, rim, ...; the first is the key")
    upright: bool | None = Field(
        None, description="of a panel fixed by hand: its longer side upright, or level; else as size_cm says"
    )

    @field_validator("preset")
    @classmethod
    def _known_preset(cls, value: str | None) -> str | None:
        if value is None or value in lamp_presets():
            return value
        raise ValueError(f"no generic lamp is called '{value}'{nearest(value, lamp_presets())}")

    @field_validator("spectrum")
    @classmethod
    def _known_spectrum(cls, value: str | None) -> str | None:
        known = (*SPECTRA, *illuminant_names())
        if value is None or value in known or value.lower().endswith(SPECTRUM_FILES):
            return value
        raise ValueError(f"no spectrum is called '{value}'{nearest(value, known)}; a file ends in .csv, .spdx or .xml")

    @field_validator("ra", mode="before")
    @classmethod
    def _modelled_ra(cls, value: object) -> object:
        if isinstance(value, int | float) and 0 <= value < RA_RANGE[0]:
            raise ValueError(
                f"LEDs of {RA_RANGE[0]:g} or more are modelled: leave ra out, for which {RA_RANGE[0]:g} is taken, or "
                "name a file with its measured spectrum, as spectrum = 'torch.csv'"
            )
        return value

    @field_validator("diffuser")
    @classmethod
    def _known_diffuser(cls, value: str | None) -> str | None:
        diffusers = [name for name, board in named_boards().items() if board.transmittance]
        if value is None or (board := find_board(value)) in diffusers:
            return value and board
        raise ValueError(f"no diffuser is called '{value}'{nearest(value, diffusers)}")


class CompleteLamp(LampModel):
    """A complete lamp: of known kind and size, with no property stated twice."""

    @model_validator(mode="after")
    def _size_of_its_kind(self) -> CompleteLamp:
        if self.kind == "panel" and (self.size_cm is None or self.diameter_cm is not None):
            raise ValueError("a panel takes size_cm = [width, height]")
        if self.kind != "panel" and (self.diameter_cm is None or self.size_cm is not None):
            raise ValueError(f"a {self.kind} takes diameter_cm")
        if self.kind == "ring" and self.hole_cm is None:
            raise ValueError("hole_cm is missing: how wide the ring's hole is")
        if self.kind != "ring" and self.hole_cm is not None:
            raise ValueError(f"a {self.kind} has no hole: leave hole_cm out, or give kind = 'ring'")
        if self.hole_cm is not None and self.diameter_cm is not None and self.hole_cm >= self.diameter_cm:
            raise ValueError(f"a ring {self.diameter_cm:g} cm across has no hole of {self.hole_cm:g} cm")
        if self.kind != "bulb" and (self.at_cm is None) != (self.aim_cm is None):
            raise ValueError("a lamp fixed by hand takes both at_cm and aim_cm")
        return self

    @model_validator(mode="after")
    def _role_and_turn_of_its_place(self) -> CompleteLamp:
        for key in ("role", "upright"):
            if getattr(self, key) is not None and self.at_cm is None:
                raise ValueError(f"{key} is of a lamp fixed by hand: give at_cm and aim_cm, or leave it to the setups")
        if self.upright is not None and self.kind != "panel":
            raise ValueError(f"a {self.kind} has no longer side: leave upright out")
        return self

    @model_validator(mode="after")
    def _brightness_stated_once(self) -> CompleteLamp:
        if self.lux_at is None:
            return self
        if self.lumens is not None or self.watts is not None:
            raise ValueError("lux_at says how bright it is: leave lumens and watts out")
        if self.kind == "bulb" and self.lux_at.cm <= self.extent_cm[0] / 2:
            raise ValueError(f"lux_at.cm = {self.lux_at.cm:g} lies inside the bulb: it counts from the bulb's middle")
        return self

    @model_validator(mode="after")
    def _direction_stated_once(self) -> CompleteLamp:
        if self.photometry is not None and self.beam_deg is not None:
            raise ValueError("photometry says where the light goes: leave beam_deg out")
        shaped = [key for key in ("beam_deg", "grid_deg", "snoot", "diffuser") if getattr(self, key) is not None]
        if self.kind == "bulb" and shaped:
            raise ValueError(f"a bulb shines all round and takes no {shaped[0]}; a lamp with a reflector is a disc")
        if self.grid_deg is not None and self.snoot is not None:
            raise ValueError("give grid_deg or snoot, not both")
        return self

    @model_validator(mode="after")
    def _consistent_colour(self) -> CompleteLamp:
        if self.kelvin_range is None:
            return self
        low, high = self.kelvin_range
        if self.spectrum is not None:
            raise ValueError("a bi-colour lamp makes its light of two channels: leave spectrum out")
        if low >= high:
            raise ValueError(f"kelvin_range goes from warm to cool, not from {low:g} to {high:g}")
        if not low <= self.kelvin <= high:
            raise ValueError(f"kelvin = {self.kelvin:g} lies outside the lamp's kelvin_range, {low:g} to {high:g}")
        return self

    @model_validator(mode="after")
    def _possible_led(self) -> CompleteLamp:
        if self.ra is not None and self.kelvin_range is None and self.spectrum not in (None, "led"):
            raise ValueError(f"ra is of an LED: leave it out, or spectrum = '{self.spectrum}'")
        channels = self.kelvin_range or ((self.kelvin,) if self.spectrum == "led" or self.ra is not None else ())
        best = {kelvin: best_ra(kelvin) for kelvin in channels}
        for kelvin, most in best.items():
            if self.ra is not None and self.ra > most:
                raise ValueError(f"ra = {self.ra:g}: an LED of {kelvin:g} K has {RA_RANGE[0]:g} to {most:g} here")
        return self

    @property
    def extent_cm(self) -> tuple[float, float]:
        """Width and height of its luminous opening, cm."""
        if self.snoot is not None:
            return self.snoot.diameter_cm, self.snoot.diameter_cm
        return self.size_cm or (self.diameter_cm or 0.0, self.diameter_cm or 0.0)


def overridden(known: Mapping[str, Any], stated: Mapping[str, Any]) -> dict[str, Any]:
    """Return the keys of a lamp with `stated` ones over `known` ones; a stated property drops its other keys."""
    dropped = {
        alternative
        for alternatives in ALTERNATIVES
        if stated.keys() & set(alternatives)
        for alternative in alternatives
    }
    if stated.get("spectrum", "led") != "led":
        dropped.add("ra")
    if "kind" in stated and stated["kind"] != known.get("kind", "panel"):
        dropped |= {"size_cm", "diameter_cm", "hole_cm"}
    return {**{key: value for key, value in known.items() if key not in dropped}, **stated}


def names_differ(lamps: tuple[LampModel, ...]) -> tuple[LampModel, ...]:
    """Return the lamps; ValueError where two share a name, or one is called as the room is."""
    names = [lamp.name for lamp in lamps]
    if "room" in names:
        raise ValueError("no lamp can be called 'room': that is the room's own light")
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f"two lamps are called '{name}'; give each its own name")
    return lamps


def lamp_presets() -> dict[str, dict[str, Any]]:
    """Return the keys of generic lamps by name, each with a `description`."""
    return packaged_toml("scenes.lamps", "generic_lamps.toml")
