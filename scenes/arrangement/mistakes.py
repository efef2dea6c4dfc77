"""Mistakes in a file as sentences: the key, the value found, and what would be right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import UnionType
from typing import Annotated, Any, Final, Union, get_args, get_origin

from pydantic_core import ErrorDetails

from scenes.errors import nearest
from scenes.text import printable

from .value_types import Model

LONGEST_VALUE: Final = 60
"""Characters that are shown of a key or a value."""
EXPECTED = {
    "float_type": "be a number",
    "float_parsing": "be a number",
    "int_type": "be a whole number",
    "int_parsing": "be a whole number",
    "int_from_float": "be a whole number",
    "int_parsing_size": "be a smaller number",
    "string_type": "be text in quotes",
    "string_too_long": "have {max_length} characters or fewer",
    "bool_type": "be true or false",
    "bool_parsing": "be true or false",
    "tuple_type": "be a list in square brackets",
    "model_type": "be a table: [{key}] and its keys below it",
    "too_short": "have {min_length} or more",
    "greater_than_equal": "be {ge:g} or more",
    "less_than_equal": "be {le:g} or less",
    "string_pattern_mismatch": 'be a colour as "#8c8c8c"',
}
"""What a value should be, by pydantic's type of error."""


def sentence_of(errors: Sequence[ErrorDetails], model: type[Model], under: str) -> str:
    """Return the first of pydantic's errors as a sentence: key, value found, and what would be right."""
    error = errors[0]
    key, owner = _place(error["loc"], model, under)
    for other in errors:  # of a union's alternatives, the one that reached into its list
        if (inner := _place(other["loc"], model, under)[0]).startswith(f"{key}["):
            error, key = other, inner
    loc, found = error["loc"], error["input"]
    match error["type"]:
        case "extra_forbidden":
            return _unknown_key(key, str(loc[-1]), owner, model)
        case "missing" if isinstance(loc[-1], str):
            return f"key '{key}' is missing"
        case "missing":  # members of a list
            count = max(int(e["loc"][-1]) for e in errors if e["loc"][:-1] == loc[:-1]) + 1
            return (
                f"{_place(loc[:-1], model, under)[0]} = {_shown(found)}: should have {count} numbers, not {len(found)}"
            )
        case "value_error":
            return _with_value(key, found, str(error["ctx"]["error"]))
        case "tuple_type" if isinstance(found, Mapping):
            return f"{key}: write [[{key}]], in double brackets, above each of them"
    expected = dict.fromkeys(_expected(e, key) for e in errors if _place(e["loc"], model, under)[0] == key)
    return f"{key} = {_shown(found)}: should {' or '.join(expected).replace(' or be ', ' or ')}"


def _unknown_key(key: str, name: str, owner: type[Model], model: type[Model]) -> str:
    if new := owner.renamed.get(name):
        return f"{key} is now called {new}"
    if instead := owner.removed.get(name):
        return f"{key} is no longer a key: {instead}"
    if owner is not model and name in model.model_fields:
        return f"unknown key '{key}': {name} belongs at the top of the file, above the first section"
    return f"unknown key '{key}'{nearest(name, tuple(owner.model_fields))}"


def _with_value(key: str, found: object, message: str) -> str:
    """Return a message after its key, and after the value too unless the message holds it."""
    if not key:
        return message
    is_shown = isinstance(found, Mapping) or f"'{found}'" in message
    return f"{key}: {message}" if is_shown else f"{key} = {_shown(found)}: {message}"


def _expected(error: ErrorDetails, key: str) -> str:
    """Return what would be right in place of a value, as it follows the word "should"."""
    if error["type"] == "too_long":
        most, count = error["ctx"]["max_length"], len(error["input"])
        numbers = isinstance(error["input"][0], int | float)
        return f"have {most} numbers, not {count}" if numbers else f"have {most} or fewer, not {count}"
    if phrase := EXPECTED.get(error["type"]):
        return phrase.format(key=key, **error.get("ctx", {}))
    return first_lower(error["msg"]).removeprefix("input should ")


def key_of(place: Sequence[int | str]) -> str:
    """Return the key of a place in a file, lists counted from 1: ("lamps", 1, "lumens") is lamps[2].lumens."""
    steps = (f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in place)
    return "".join(steps).removeprefix(".")


def _place(loc: Sequence[int | str], model: type[Model], under: str = "") -> tuple[str, type[Model]]:
    """Return the key of a place, lists counted from 1, and the model that the key belongs to.

    Steps that belong to no model are skipped: they are pydantic's names of a union's alternatives.
    """
    key, owner = under, model
    found: type[Model] | None = model
    for step in loc:
        if isinstance(step, int):
            key += f"[{step + 1}]"
        elif found is not None:
            key, owner = key_below(key, step), found
            field = found.model_fields.get(step)
            found = _model_in(field.annotation) if field else None
    return key, owner


def key_below(key: str, step: str) -> str:
    """Return the key of a step below another, in printable characters."""
    shown = printable(step, LONGEST_VALUE)
    return f"{key}.{shown}" if key else shown


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return printable(f'"{value}"' if isinstance(value, str) else str(value), LONGEST_VALUE)


def first_lower(text: str) -> str:
    """Return text with its first letter in lower case."""
    return text[:1].lower() + text[1:]


def _model_in(annotation: Any) -> type[Model] | None:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return annotation
    if get_origin(annotation) in (Annotated, tuple, Union, UnionType):
        return next(filter(None, map(_model_in, get_args(annotation))), None)
    return None
