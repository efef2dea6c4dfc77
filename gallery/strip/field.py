"""One field of an arrangement by its dotted path, at several values: FIELD=V1,V2,... ."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

from gallery.captions.exposure import format_shutter
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
VALID_TOGETHER = {"iso": 100.0, "shutter_s": 1.0}
"""Two settings that are valid only together: what the other is set to while one is checked."""


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


def vary(arrangement: Arrangement, field: Field, value: Value) -> Arrangement:
    """Return an arrangement with a field at a value; ISO and shutter are checked, and left to `lock_exposures`.

    Raises
    ------
    InputError
        For an unknown field, or a value that it does not take.
    """
    if field.steps == TOPCOAT and value == "as-built":
        return arrangement
    data = arrangement.model_dump(exclude_unset=True)
    if field.steps[:2] == ("subject", "parts") and arrangement.subject is not None:
        data["subject"]["parts"] = _parts_with_stand_ins(arrangement.subject, "".join(field.steps[2:3]))
    set_value(data, field.steps, value, field.name)
    if field.steps[0] == "backdrop" and field.key in ("reflectance", "colour"):
        data["backdrop"].pop({"reflectance": "colour", "colour": "reflectance"}[field.key], None)
    if field.setting in VALID_TOGETHER:
        data["camera"] = {**VALID_TOGETHER, **data["camera"]}
    changed = fill_model(data, Arrangement, "strip")
    return arrangement if field.setting in VALID_TOGETHER else changed


def _parts_with_stand_ins(subject: SubjectModel, step: str) -> list[dict[str, Any]]:
    """Return the declared parts; where `step` is neither a number nor one of them, after those of the stand-in.

    The numbers of parts count those declared.
    """
    own = [{"match": part.match, **part.model_dump(exclude_unset=True)} for part in subject.parts]
    if step.isdecimal() or any(part.match == step for part in subject.parts):
        return own
    return [*(part.model_dump(exclude_unset=True) for part in usual_parts(subject.mesh)), *own]


def set_value(data: dict[str, Any], steps: tuple[str, ...], value: Value, name: str) -> None:
    """Set the value at the end of a path in plain data; a step into a list is a member's name, match or number.

    Raises
    ------
    InputError
        Where the path leads nowhere; `name` is the path as written.
    """
    table: Any = data
    for step in steps[:-1]:
        inner = _member(table, step, name) if isinstance(table, list | tuple) else table.setdefault(step, {})
        if not isinstance(inner, dict | list | tuple):
            raise InputError(f"'{name}': '{step}' is one value and has nothing inside to vary")
        table = inner
    if isinstance(table, list | tuple):
        raise InputError(f"'{name}': '{steps[-2]}' is a list; say which of it, and then what of that is varied")
    table[steps[-1]] = value


def format_value(field: Field, value: Value) -> str:
    """Return a value with its unit."""
    name, _, unit = field.key.rpartition("_")
    if isinstance(value, str | bool):
        text = value if isinstance(value, str) else str(value).lower()
        return text if field.steps == TOPCOAT else f"{field.key.replace('_', ' ')} {text}"
    if field.key == "shutter_s":
        return format_shutter(value)
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
