"""Names and values from files as text that is safe to print and of limited length."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import Final

LONGEST_LINE: Final = 1000
"""Characters of a printed line."""


def printable(text: str, longest: int = LONGEST_LINE) -> str:
    """Return text on one line: control characters escaped, long text shortened in the middle.

    Terminals execute control characters, and bidirectional marks disguise names.
    """
    if len(text) > longest:
        text = f"{text[: longest // 2 - 1]}...{text[-(longest // 2 - 2) :]}"
    return "".join(c if is_printable(c) else c.encode("unicode_escape").decode("ascii") for c in text)


def is_printable(character: str) -> bool:
    """Return whether a character shows as itself and stays on its line."""
    return character.isprintable() or unicodedata.category(character) == "Zs"


def counted(number: int, noun: str) -> str:
    """Return a number of things: `1 round`, `2 geometries`."""
    if number == 1:
        return f"1 {noun}"
    return f"{number} {noun.removesuffix('y')}ies" if noun.endswith("y") else f"{number} {noun}s"


def listed(names: Sequence[str], most: int, between: str = ", ", rest: str = " and {} more") -> str:
    """Return names joined, of more than `most` the first ones and the number of the rest."""
    more = rest.format(len(names) - most) if len(names) > most else ""
    return between.join(names[:most]) + more
