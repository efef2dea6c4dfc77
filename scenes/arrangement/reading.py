"""TOML in, models out: a mistake is one sentence of file, key, what was found and what would be right."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import UnionType
from typing import Any, Final, TypeVar, Union, get_args, get_origin

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from scenes.errors import InputError, nearest
from scenes.files import content_of
from scenes.text import printable

from .value_types import Model

M = TypeVar("M", bound=Model)

LARGEST_BYTES: Final = 500_000
"""Of a TOML file: ten times an arrangement at the limit of its lists, read in a second."""
DEEPEST: Final = 16
"""Of tables and lists in one another: an arrangement takes five."""
LONGEST_VALUE: Final = 60
"""Characters that are shown of a key or a value."""

_KEY: Final = r"""(?:[\w-]++|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+')"""
_DEEP_KEY: Final = re.compile(rf"(?:^|[\[{{,])[ \t]*+(?:{_KEY}[ \t]*+\.[ \t]*+){{{DEEPEST}}}", re.MULTILINE)
"""A dotted key of too many steps: tomllib's time goes with the square of their number."""

RIGHT = {
    "float_type": "be a number",
    "float_parsing": "be a number",
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
"""What a value should be, by the kind of error that pydantic found."""


def read_model(path: Path, model: type[M]) -> M:
    """Return `model` filled from a TOML file.

    Raises
    ------
    InputError
        Where the file cannot be read or a key in it is wrong.
    """
    return fill_model(read_toml(path), model, str(path))


def read_toml(path: Path) -> dict[str, Any]:
    """Return what a TOML file holds, not looked into; errors as for `read_model`."""
    text = _text_of(path)
    try:
        if _DEEP_KEY.search(text):
            raise RecursionError
        data = tomllib.loads(text)
        _refuse_excess(data, path)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{path}: not valid TOML: {_first_lower(str(error))}") from None
    except ValueError:  # Python's, of a number of thousands of digits
        raise InputError(f"{path}: not valid TOML: a whole number has 19 digits at most") from None
    except RecursionError:
        raise InputError(f"{path}: its keys or lists are nested more than {DEEPEST} deep; write them flat") from None
    return data


def fill_model(data: Mapping[str, Any], model: type[M], where: str, under: tuple[int | str, ...] = ()) -> M:
    """Return `model` filled from plain data; `where` names its source in errors, `under` the place of the data there.

    Raises
    ------
    InputError
        Where the data do not make the model.
    """
    try:
        return model.model_validate(data)
    except ValidationError as error:
        raise InputError(f"{where}: {_sentence(error.errors(), model, key_of(under))}") from None


def _text_of(path: Path) -> str:
    """Return the text of a regular file of a sensible size."""
    content = content_of(path, "TOML file")
    if len(content) > LARGEST_BYTES:
        raise InputError(f"{path}: it is larger than {LARGEST_BYTES / 1e6:g} MB, where an arrangement takes a few kB")
    try:
        return content.decode("utf-8-sig")  # some editors begin a file with a mark of its encoding
    except UnicodeDecodeError:
        raise InputError(f"{path}: this is not a text file; an arrangement is written in TOML") from None


def _refuse_excess(data: Mapping[str, Any], path: Path) -> None:
    """Raise RecursionError where data is nested too deep, InputError where a whole number is beyond TOML's 64 bits."""
    unseen: list[tuple[str, Any, int]] = [("", data, 0)]
    while unseen:
        key, value, depth = unseen.pop()
        if depth > DEEPEST:
            raise RecursionError
        if isinstance(value, int) and value.bit_length() > 63:
            raise InputError(f"{path}: {key} is a whole number beyond 64 bits, which TOML has none of")
        if isinstance(value, Mapping):
            unseen += [(_below(key, step), inner, depth + 1) for step, inner in value.items()]
        elif isinstance(value, list):
            unseen += [(f"{key}[{i + 1}]", inner, depth + 1) for i, inner in enumerate(value)]


def _sentence(errors: Sequence[ErrorDetails], model: type[Model], under: str) -> str:
    error = errors[0]
    key, holder = _place(error["loc"], model, under)
    for other in errors:  # of a value tried in several ways, the way that led into its list
        if (inner := _place(other["loc"], model, under)[0]).startswith(f"{key}["):
            error, key = other, inner
    loc, found = error["loc"], error["input"]
    match error["type"]:
        case "extra_forbidden":
            return _unknown(key, str(loc[-1]), holder)
        case "missing" if isinstance(loc[-1], str):
            return f"key '{key}' is missing"
        case "missing":  # of a list, whose missing members are all told
            count = max(int(e["loc"][-1]) for e in errors if e["loc"][:-1] == loc[:-1]) + 1
            return (
                f"{_place(loc[:-1], model, under)[0]} = {_shown(found)}: should have {count} numbers, not {len(found)}"
            )
        case "value_error":
            return _said(key, found, str(error["ctx"]["error"]))
        case "tuple_type" if isinstance(found, Mapping):
            return f"{key}: write [[{key}]], in double brackets, above each of them"
    right = dict.fromkeys(_right(e, key) for e in errors if _place(e["loc"], model, under)[0] == key)
    return f"{key} = {_shown(found)}: should {' or '.join(right).replace(' or be ', ' or ')}"


def _unknown(key: str, name: str, holder: type[Model]) -> str:
    if new := holder.renamed.get(name):
        return f"{key} is now called {new}"
    return f"unknown key '{key}'{nearest(name, tuple(holder.model_fields))}"


def _said(key: str, found: object, said: str) -> str:
    if not key:
        return said
    told = isinstance(found, Mapping) or f"'{found}'" in said
    return f"{key}: {said}" if told else f"{key} = {_shown(found)}: {said}"


def _right(error: ErrorDetails, key: str) -> str:
    """Return what would be right in place of a value, after the word 'should'."""
    if error["type"] == "too_long":
        most, count = error["ctx"]["max_length"], len(error["input"])
        numbers = isinstance(error["input"][0], int | float)
        return f"have {most} numbers, not {count}" if numbers else f"have {most} or fewer, not {count}"
    if phrase := RIGHT.get(error["type"]):
        return phrase.format(key=key, **error.get("ctx", {}))
    return _first_lower(error["msg"]).removeprefix("input should ")


def key_of(place: Sequence[int | str]) -> str:
    """Return a place in a file as a person counts: ("lamps", 1, "lumens") is lamps[2].lumens, the second lamp's."""
    steps = (f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in place)
    return "".join(steps).removeprefix(".")


def _place(loc: Sequence[int | str], model: type[Model], under: str = "") -> tuple[str, type[Model]]:
    """Return a place as a person counts, lamps[2].lumens is the second lamp's, and the model that its key is of.

    A name where no model is left to step into is pydantic's own, of the type that it tried a value as.
    """
    key, holder = under, model
    found: type[Model] | None = model
    for step in loc:
        if isinstance(step, int):
            key += f"[{step + 1}]"
        elif found is not None:
            key, holder = _below(key, step), found
            field = found.model_fields.get(step)
            found = _model_in(field.annotation) if field else None
    return key, holder


def _below(key: str, step: str) -> str:
    shown = printable(step, LONGEST_VALUE)
    return f"{key}.{shown}" if key else shown


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return printable(f'"{value}"' if isinstance(value, str) else str(value), LONGEST_VALUE)


def _first_lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _model_in(annotation: Any) -> type[Model] | None:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return annotation
    if get_origin(annotation) in (tuple, Union, UnionType):
        return next(filter(None, map(_model_in, get_args(annotation))), None)
    return None
