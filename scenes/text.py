"""Text for people: names and values from files, safe to print and of a sensible length."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import Final

LONGEST_LINE: Final = 1000
"""Characters of a printed line."""


def printable(text: str, longest: int = LONGEST_LINE) -> str:
    """Return text on one line: control characters as escapes, and of what is too long its beginning and its end.

    A terminal obeys control characters, and marks of writing direction show a name as another.
    """
    if len(text) > longest:
        text = f"{text[: longest // 2 - 1]}...{text[-(longest // 2 - 2) :]}"
    return "".join(c if is_printable(c) else c.encode("unicode_escape").decode("ascii") for c in text)


def is_printable(character: str) -> bool:
    """Return whether a character shows as itself and stays on its line."""
    return character.isprintable() or unicodedata.category(character) == "Zs"


def listed(names: Sequence[str], most: int, between: str = ", ", rest: str = " and {} more") -> str:
    """Return names in a row, of many the first ones and how many more there are."""
    more = rest.format(len(names) - most) if len(names) > most else ""
    return between.join(names[:most]) + more
