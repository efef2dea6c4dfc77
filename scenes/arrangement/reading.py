"""TOML in, models out: a mistake is one sentence of file, key, what was found and what would be right."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import UnionType
from typing import Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from scenes.errors import InputError, nearest

M = TypeVar("M", bound=BaseModel)

RIGHT = {
    "float_type": "be a number",
    "float_parsing": "be a number",
    "string_type": "be text in quotes",
    "bool_type": "be true or false",
    "bool_parsing": "be true or false",
    "tuple_type": "be a list in square brackets",
    "model_type": "be a table: [{key}] and its keys below it",
    "too_long": "have {max_length} numbers, not {actual_length}",
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
    try:
        text = path.read_text(encoding="utf-8-sig")  # some editors begin a file with a mark of its encoding
    except FileNotFoundError:
        raise InputError(f"{path}: there is no such file") from None
    except IsADirectoryError:
        raise InputError(f"{path}: this is a folder; name the .toml file in it") from None
    except UnicodeDecodeError:
        raise InputError(f"{path}: this is not a text file; an arrangement is written in TOML") from None
    except OSError as error:
        raise InputError(f"{path}: it cannot be read ({error.strerror})") from None
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{path}: not valid TOML: {_first_lower(str(error))}") from None


def fill_model(data: Mapping[str, Any], model: type[M], where: str) -> M:
    """Return `model` filled from plain data; `where` names its source in errors."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        raise InputError(f"{where}: {_sentence(error.errors(), model)}") from None


def _sentence(errors: Sequence[ErrorDetails], model: type[BaseModel]) -> str:
    error = errors[0]
    loc, found = error["loc"], error["input"]
    key = _key(loc)
    match error["type"]:
        case "extra_forbidden":
            return f"unknown key '{key}'{nearest(str(loc[-1]), _siblings(loc, model))}"
        case "missing" if isinstance(loc[-1], str):
            return f"key '{key}' is missing"
        case "missing":  # of a list, whose missing members are all told
            count = max(int(e["loc"][-1]) for e in errors if e["loc"][:-1] == loc[:-1]) + 1
            return f"{_key(loc[:-1])} = {_shown(found)}: should have {count} numbers, not {len(found)}"
        case "value_error":
            return _said(key, found, str(error["ctx"]["error"]))
        case "tuple_type" if isinstance(found, Mapping):
            return f"{key}: write [[{key}]], in double brackets, above each of them"
    right = dict.fromkeys(_right(e, key) for e in errors if _key(e["loc"]) == key)
    return f"{key} = {_shown(found)}: should {' or '.join(right).replace(' or be ', ' or ')}"


def _said(key: str, found: object, said: str) -> str:
    if not key:
        return said
    told = isinstance(found, Mapping) or f"'{found}'" in said
    return f"{key}: {said}" if told else f"{key} = {_shown(found)}: {said}"


def _right(error: ErrorDetails, key: str) -> str:
    """Return what would be right in place of a value, after the word 'should'."""
    if phrase := RIGHT.get(error["type"]):
        return phrase.format(key=key, **error.get("ctx", {}))
    return _first_lower(error["msg"]).removeprefix("input should ")


def _key(loc: Sequence[int | str]) -> str:
    """Return a place as a person counts: lamps[2].lumens is the second lamp's."""
    key = ""
    for step in loc:
        if isinstance(step, int):
            key += f"[{step + 1}]"
        elif not step.startswith(("function-", "literal", "constrained", "float", "nullable")):
            key += f".{step}" if key else step
    return key


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _first_lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _siblings(loc: Sequence[int | str], model: type[BaseModel]) -> tuple[str, ...]:
    """Return the keys that are known at the place of an unknown one."""
    current = model
    for step in loc[:-1]:
        if isinstance(step, str) and step in current.model_fields:
            inner = _model_in(current.model_fields[step].annotation)
            current = inner or current
    return tuple(current.model_fields)


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) in (tuple, Union, UnionType):
        return next(filter(None, map(_model_in, get_args(annotation))), None)
    return None
