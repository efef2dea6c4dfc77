"""TOML files read into models, within limits of size and depth."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final, TypeVar

from pydantic import ValidationError

from scenes.errors import InputError
from scenes.files import content_of

from .mistakes.place import key_below, key_of
from .mistakes.sentences import sentences_of
from .mistakes.toml_syntax import syntax_sentence
from .value_types import Model

M = TypeVar("M", bound=Model)

LARGEST_BYTES: Final = 500_000
"""Of a TOML file: ten times an arrangement at the limit of its lists, read in a second."""
DEEPEST: Final = 16
"""Of tables and lists in one another: an arrangement takes five."""

_KEY: Final = r"""(?:[\w-]++|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+')"""
_DEEP_KEY: Final = re.compile(rf"(?:^|[\[{{,])[ \t]*+(?:{_KEY}[ \t]*+\.[ \t]*+){{{DEEPEST}}}", re.MULTILINE)
"""A dotted key of too many steps: tomllib's time goes with the square of their number."""


def read_model(path: Path, model: type[M]) -> M:
    """Return `model` filled from a TOML file.

    Raises
    ------
    InputError
        Where the file cannot be read or a key in it is wrong.
    """
    return fill_model(read_toml(path), model, str(path))


def read_toml(path: Path) -> dict[str, Any]:
    """Return the data of a TOML file, not validated; errors as for `read_model`."""
    text = _text_of(path)
    try:
        if _DEEP_KEY.search(text):
            raise RecursionError
        data = tomllib.loads(text)
        _refuse_excess(data, path)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{path}: {syntax_sentence(text, error)}") from None
    except ValueError:  # Python's, of a number of thousands of digits
        raise InputError(f"{path}: not valid TOML: a whole number has 19 digits at most") from None
    except RecursionError:
        raise InputError(f"{path}: its keys or lists are nested more than {DEEPEST} deep; write them flat") from None
    return data


def fill_model(data: Mapping[str, Any], model: type[M], where: str, under: tuple[int | str, ...] = ()) -> M:
    """Return a model filled from plain data; errors name their source `where` and the place `under` in it.

    Raises
    ------
    InputError
        Where the data do not make the model.
    """
    try:
        return model.model_validate(data)
    except ValidationError as error:
        sentences = sentences_of(error.errors(), model, data, key_of(under))
        raise InputError(*(f"{where}: {sentence}" for sentence in sentences)) from None


def _text_of(path: Path) -> str:
    """Return the text of a regular file of a sensible size."""
    content = content_of(path, "TOML file")
    if len(content) > LARGEST_BYTES:
        raise InputError(f"{path}: it is larger than {LARGEST_BYTES / 1e6:g} MB, where an arrangement takes a few kB")
    try:
        return content.decode("utf-8-sig")  # some editors write a byte-order mark
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
            unseen += [(key_below(key, step), inner, depth + 1) for step, inner in value.items()]
        elif isinstance(value, list):
            unseen += [(f"{key}[{i + 1}]", inner, depth + 1) for i, inner in enumerate(value)]
