"""One field of an arrangement by its dotted path, at several values: FIELD=V1,V2,... ."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from render.camera.locked_exposure import SETTINGS
from render.camera.steps import shutter_name
from scenes.arrangement.arrangement import Arrangement
from scenes.errors import InputError, nearest

Value: TypeAlias = int | float | bool | str

TOPCOAT = ("subject", "topcoat")
SHORT = {"finish": TOPCOAT, "finish.gloss": TOPCOAT}
FEWEST, MOST = 2, 12
UNITS = {
    "topcoat": "{:g} GU", "gloss": "{:g} GU", "f_number": "f/{:g}", "iso": "ISO {:g}", "kelvin": "{:g} K",
    "white_balance": "{:g} K", "lux": "{:g} lx", "lumens": "{:g} lm", "distance": "{:g} sizes away",
    "stops_under_key": "{:g} stops under",
}  # fmt: skip


@dataclass(frozen=True)
class Field:
    """A key to vary: its path as written and in steps, and its values."""

    name: str
    steps: tuple[str, ...]
    values: tuple[Value, ...]

    @property
    def key(self) -> str:
        """The last step of the path."""
        return self.steps[-1]

    @property
    def setting(self) -> str | None:
        """The exposure setting that is varied; None for another key."""
        return self.key if self.steps[:-1] == ("camera",) and self.key in SETTINGS else None


def read_field(text: str) -> Field:
    """Return the field of text such as `lamps.key.kelvin=3000,4000`; `finish` and `finish.gloss` name the topcoat.

    Raises
    ------
    InputError
        Where there is no path, or fewer than two values or more than twelve.
    """
    name, _, listed = text.partition("=")
    name, found = name.strip(), [value.strip() for value in listed.split(",") if value.strip()]
    steps = SHORT.get(name, tuple(name.split(".")))
    if not all(steps) or len(found) < FEWEST:
        raise InputError(f"'{text}': write FIELD=VALUE,VALUE, as finish=matt,satin,gloss or lamps.key.kelvin=3000,5000")
    if len(found) > MOST:
        raise InputError(f"{name} has {len(found)} values: a strip takes {MOST} at most")
    sections = (*Arrangement.model_fields, "finish")
    if steps[0] not in sections:
        raise InputError(f"'{name}': there is no '{steps[0]}' to vary{nearest(steps[0], sections)}")
    return Field(name, steps, tuple(map(_value, found)))


def format_value(field: Field, value: Value) -> str:
    """Return a value with its unit."""
    name, _, unit = field.key.rpartition("_")
    if isinstance(value, str | bool):
        text = value if isinstance(value, str) else str(value).lower()
        return text if field.steps == TOPCOAT else f"{field.key.replace('_', ' ')} {text}"
    if field.key == "shutter_s":
        return shutter_name(value)
    if field.key == "dimmer":
        return f"{100 * value:.3g} %"
    if field.key in UNITS:
        return UNITS[field.key].format(value)
    if name and unit in ("deg", "cm", "mm", "m"):
        return f"{name.replace('_', ' ')} {value:g} {'degrees' if unit == 'deg' else unit}"
    return f"{field.key.replace('_', ' ')} {value:g}"


def _value(text: str) -> Value:
    if text in ("true", "false"):
        return text == "true"
    for number in (int, float):
        try:
            return number(text)
        except ValueError:
            continue
    return text
