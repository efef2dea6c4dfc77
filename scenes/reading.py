"""TOML in, models out: every mistake is one sentence with the file, the key, what was found, what would be right."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import UnionType
from typing import Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from .arrangement import Arrangement
from .errors import InputError, nearest

M = TypeVar("M", bound=BaseModel)


def read_arrangement(path: Path) -> Arrangement:
    """Return the arrangement in a TOML file.

    Raises
    ------
    InputError
        Where the file cannot be read or a key in it is wrong.
    """
    return read_model(path, Arrangement)


def read_model(path: Path, model: type[M]) -> M:
    """Return `model` filled from a TOML file; errors as for `read_arrangement`."""
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise InputError(f"{path}: there is no such file") from None
    except IsADirectoryError:
        raise InputError(f"{path}: this is a folder; name the .toml file in it") from None
    except UnicodeDecodeError:
        raise InputError(f"{path}: this is not a text file; an arrangement is written in TOML") from None
    except OSError as error:
        raise InputError(f"{path}: it cannot be read ({error.strerror})") from None
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{path}: not valid TOML: {_first_lower(str(error))}") from None
    return fill_model(data, model, str(path))


def fill_model(data: Mapping[str, Any], model: type[M], where: str) -> M:
    """Return `model` filled from plain data; `where` names its source in errors."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        raise InputError(f"{where}: {_sentence(error.errors()[0], model)}") from None


def _sentence(error: ErrorDetails, model: type[BaseModel]) -> str:
    key, found = _key(error["loc"]), error["input"]
    match error["type"]:
        case "extra_forbidden":
            return f"unknown key '{key}'{nearest(str(error['loc'][-1]), _siblings(error['loc'], model))}"
        case "missing":
            return f"key '{key}' is missing"
        case "value_error":
            said = str(error["ctx"]["error"])
            return f"{key}: {said}" if key else said
        case _:
            return f"{key} = {_shown(found)}: {_first_lower(error['msg'])}"


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
