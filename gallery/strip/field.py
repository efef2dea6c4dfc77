"""One field of an arrangement by its dotted path, at several values: FIELD=V1,V2,... ."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

from gallery.captions.frame import shutter_words
from render.camera.locked_exposure import SETTINGS
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.arrangement.subject_model import SubjectModel
from scenes.builtin.standin import usual_parts
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
LEGAL = {"iso": 100.0, "shutter_s": 1.0}
"""Of two settings that are only given together: what stands beside one of them while it is checked."""


@dataclass(frozen=True)
class Field:
    """What is varied: its path as it was written and in steps, and its values."""

    name: str
    steps: tuple[str, ...]
    values: tuple[Value, ...]

    @property
    def key(self) -> str:
        """The last step: what the value itself is called."""
        return self.steps[-1]

    @property
    def setting(self) -> str | None:
        """The setting of the exposure that it is, if it is one."""
        return self.key if self.steps[:-1] == ("camera",) and self.key in SETTINGS else None


def read_field(said: str) -> Field:
    """Return the field of `lamps.key.kelvin=3000,4000`; `finish=matt,gloss` and `finish.gloss=5,80` are the topcoat.

    Raises
    ------
    InputError
        Where there is no path, or fewer than two values or more than twelve.
    """
    name, _, listed = said.partition("=")
    name, found = name.strip(), [value.strip() for value in listed.split(",") if value.strip()]
    steps = SHORT.get(name, tuple(name.split(".")))
    if not all(steps) or len(found) < FEWEST:
        raise InputError(f"'{said}': write FIELD=VALUE,VALUE, as finish=matt,satin,gloss or lamps.key.kelvin=3000,5000")
    if len(found) > MOST:
        raise InputError(f"{name} has {len(found)} values: a strip takes {MOST} at most")
    sections = (*Arrangement.model_fields, "finish")
    if steps[0] not in sections:
        raise InputError(f"'{name}': there is no '{steps[0]}' to vary{nearest(steps[0], sections)}")
    return Field(name, steps, tuple(map(_value, found)))


def varied(arrangement: Arrangement, field: Field, value: Value) -> Arrangement:
    """Return an arrangement with a field at a value; ISO and shutter are only checked, since a strip sets them.

    Raises
    ------
    InputError
        Where there is no such field, or it does not take the value.
    """
    if field.steps == TOPCOAT and value == "as-built":
        return arrangement
    data = arrangement.model_dump(exclude_unset=True)
    if field.steps[:2] == ("subject", "parts") and arrangement.subject is not None:
        data["subject"]["parts"] = _parts_with_usual(arrangement.subject, "".join(field.steps[2:3]))
    put(data, field.steps, value, field.name)
    if field.steps[0] == "backdrop" and field.key in ("reflectance", "colour"):
        data["backdrop"].pop({"reflectance": "colour", "colour": "reflectance"}[field.key], None)
    if field.setting in LEGAL:
        data["camera"] = {**LEGAL, **data["camera"]}
    changed = fill_model(data, Arrangement, "strip")
    return arrangement if field.setting in LEGAL else changed


def _parts_with_usual(subject: SubjectModel, step: str) -> list[dict[str, Any]]:
    """Return the declared parts; where `step` is neither a number nor one of them, after a stand-in's usual ones."""
    own = [{"match": part.match, **part.model_dump(exclude_unset=True)} for part in subject.parts]
    if step.isdecimal() or any(part.match == step for part in subject.parts):
        return own
    return [*(part.model_dump(exclude_unset=True) for part in usual_parts(subject.mesh)), *own]


def put(data: dict[str, Any], steps: tuple[str, ...], value: Value, name: str) -> None:
    """Put a value at the end of a path into plain data; a step into a list is a member's name, match or number."""
    table: Any = data
    for step in steps[:-1]:
        inner = _member(table, step, name) if isinstance(table, list | tuple) else table.setdefault(step, {})
        if not isinstance(inner, dict | list | tuple):
            raise InputError(f"'{name}': '{step}' is one value and has nothing inside to vary")
        table = inner
    if isinstance(table, list | tuple):
        raise InputError(f"'{name}': '{steps[-2]}' is a list; say which of it, and then what of that is varied")
    table[steps[-1]] = value


def value_words(field: Field, value: Value) -> str:
    """Return a value with its unit, as it heads a frame."""
    name, _, unit = field.key.rpartition("_")
    if isinstance(value, str | bool):
        said = value if isinstance(value, str) else str(value).lower()
        return said if field.steps == TOPCOAT else f"{field.key.replace('_', ' ')} {said}"
    if field.key == "shutter_s":
        return shutter_words(value)
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


def _member(members: list[Any] | tuple[Any, ...], step: str, name: str) -> Any:
    if members and not isinstance(members[0], dict):
        raise InputError(f"'{name}': a number of a list cannot be varied by itself")
    named = {str(member.get("name", member.get("match"))): member for member in members}
    if step in (numbers := [str(i + 1) for i in range(len(members))]):
        return members[numbers.index(step)]
    if step not in named:
        raise InputError(f"'{name}': there is no '{step}'{nearest(step, named) if named else ''}")
    return named[step]
