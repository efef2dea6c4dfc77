"""Mistakes in a file as sentences: the key, the value found, and what would be right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from pydantic_core import ErrorDetails

from scenes.arrangement.value_types import Model
from scenes.errors import nearest
from scenes.text import printable

from .number_hints import list_hint, number_hint, share_hint
from .place import LONGEST_VALUE, Place, place_of
from .sections import section_of
from .synonyms import meant_key, meant_kind

EXPECTED: Final = {
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


MOST_ERRORS: Final = 100
"""Errors that are put in sentences."""


class Mistake(NamedTuple):
    """One of pydantic's errors, and its place."""

    error: ErrorDetails
    place: Place


def sentences_of(errors: Sequence[ErrorDetails], model: type[Model], data: object, under: str) -> list[str]:
    """Return pydantic's errors as sentences, one a mistake: place, value found, and what would be right.

    `under` is the key of `data` in its file.
    """
    groups: dict[str, list[Mistake]] = {}
    for error in filter(_is_own, errors[:MOST_ERRORS]):
        place = place_of(error["loc"], model, data, under)
        own = f"{place.prefix}{place.key}"
        if error["type"] == "missing" and isinstance(error["loc"][-1], int):  # one too few is missing at each place
            own = own.rpartition("[")[0]
        same = next((key for key in groups if own == key or own.startswith(f"{key}[")), own)
        groups.setdefault(same, []).append(Mistake(error, place))
    rest = [f"and {more} more mistakes"] if (more := len(errors) - MOST_ERRORS) > 0 else []
    return [*(_sentence(group, model, data, under) for group in groups.values()), *rest]


def _is_own(error: ErrorDetails) -> bool:
    """Return whether an error is none of another's making: a list is too short for pydantic where members are wrong."""
    return error["type"] != "too_short" or len(error["input"]) < error["ctx"]["min_length"]


def _sentence(mistakes: Sequence[Mistake], model: type[Model], data: object, under: str) -> str:
    """Return the sentence on the errors of one value: a union has one for each of its alternatives."""
    error, place = max(mistakes, key=lambda mistake: len(mistake.place.key))  # the one that reached into its list
    if all(len(other.place.key) == len(place.key) for other in mistakes):
        error, place = mistakes[0]
    loc, found, key, prefix = error["loc"], error["input"], place.key, place.prefix
    match error["type"]:
        case "extra_forbidden":
            return prefix + _unknown_key(key, str(loc[-1]), place.owner, model)
        case "missing" if isinstance(loc[-1], str):
            return f"{prefix}key '{key}' is missing"
        case "missing":  # members of a list
            count = max(int(e["loc"][-1]) for e, _ in mistakes) + 1
            key = place_of(loc[:-1], model, data, under).key
            return f"{prefix}{key} = {_shown(found)}: should have {count} numbers, not {len(found)}"
        case "value_error":
            return prefix + _with_value(key, found, str(error["ctx"]["error"]))
        case "tuple_type" if isinstance(found, Mapping):
            return f"{prefix}{key}: write [[{key}]], in double brackets, above each of them"
    expected = dict.fromkeys(_expected(other, key) for other, at in mistakes if at.key == key)
    return f"{prefix}{key} = {_shown(found)}: should {' or '.join(expected).replace(' or be ', ' or ')}"


def _unknown_key(key: str, name: str, owner: type[Model], model: type[Model]) -> str:
    if new := owner.renamed.get(name):
        return f"{key} is now called {new}"
    if instead := owner.removed.get(name):
        return f"{key} is no longer a key: {instead}"
    if (meant := meant_key(name, owner.model_fields)) is None and (section := section_of(name, owner, model)):
        return f"unknown key '{key}': {name} belongs {section}"
    return f"unknown key '{key}'{meant or nearest(name, owner.model_fields)}"


def _with_value(key: str, found: object, message: str) -> str:
    """Return a message after its key, and after the value too unless the message holds it."""
    if not key:
        return message
    is_shown = isinstance(found, Mapping) or f"'{found}'" in message
    return f"{key}: {message}" if is_shown else f"{key} = {_shown(found)}: {message}"


def _expected(error: ErrorDetails, key: str) -> str:
    """Return what would be right in place of a value, as it follows the word "should"."""
    found, about = error["input"], error.get("ctx", {})
    if error["type"] == "too_long":
        most, count = about["max_length"], len(found)
        numbers = isinstance(found[0], int | float)
        return f"have {most} numbers, not {count}" if numbers else f"have {most} or fewer, not {count}"
    phrase = EXPECTED.get(error["type"])
    if phrase is None:
        return first_lower(error["msg"]).removeprefix("input should ") + _choice_hint(error)
    hint = ""
    match error["type"]:
        case "float_type" | "float_parsing" | "int_type" | "int_parsing":
            hint = number_hint(found)
        case "tuple_type":
            hint = list_hint(found)
        case "less_than_equal":
            hint = share_hint(found, about["le"])
    return phrase.format(key=key, **about) + hint


def _choice_hint(error: ErrorDetails) -> str:
    """Return a hint at the choice that is meant by a word, where it is one of several words."""
    if error["type"] != "literal_error" or not isinstance(error["input"], str):
        return ""
    return meant_kind(error["input"], error["ctx"]["expected"].replace(" or ", ", ").replace("'", "").split(", "))


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return printable(f'"{value}"' if isinstance(value, str) else str(value), LONGEST_VALUE)


def first_lower(text: str) -> str:
    """Return text with its first letter in lower case."""
    return text[:1].lower() + text[1:]
