"""One key of an arrangement at another value."""

from __future__ import annotations

from typing import Any

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.arrangement.subject_model import SubjectModel
from scenes.builtin.standin import usual_parts
from scenes.errors import InputError, nearest

from .field import TOPCOAT, Field, Value

VALID_TOGETHER = {"iso": 100.0, "shutter_s": 1.0}
"""Two settings that are valid only together: what the other is set to while one is checked."""


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


def _member(members: list[Any] | tuple[Any, ...], step: str, name: str) -> Any:
    if members and not isinstance(members[0], dict):
        raise InputError(f"'{name}': a number of a list cannot be varied by itself")
    named = {str(member.get("name", member.get("match"))): member for member in members}
    if step in (numbers := [str(i + 1) for i in range(len(members))]):
        return members[numbers.index(step)]
    if step not in named:
        raise InputError(f"'{name}': there is no '{step}'{nearest(step, named) if named else ''}")
    return named[step]
