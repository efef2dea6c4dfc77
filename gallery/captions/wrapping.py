"""Text in lines of a limited width, by any measure of it."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

WORD: Final = r"[\S\xa0]+"
"""What no line ends in: a no-break space joins."""


def wrapped(text: str, width: float, width_of: Callable[[str], float]) -> list[str]:
    """Return text in lines no wider than `width`; a word that is wider is broken.

    What stands between two spaces on either side, as `ISO 50` in `f/8  ISO 50  4000 K`, stays on one line if it can;
    so does what a no-break space joins.
    """
    lines: list[str] = []
    for group in text.split("  "):
        words = re.findall(WORD, group)
        if words and width_of(" ".join(words)) <= width:
            words = [" ".join(words)]
        for i, word in enumerate(words):
            longer = f"{lines[-1]}{' ' if i else '  '}{word}" if lines else word
            if lines and width_of(longer) <= width:
                lines[-1] = longer
            else:
                lines += _broken(word, width, width_of)
    return lines


def _broken(word: str, width: float, width_of: Callable[[str], float]) -> list[str]:
    """Return a word in pieces no wider than `width`, of a character at least."""
    if width_of(word) <= width:
        return [word]
    pieces = [word[:1]]
    for character in word[1:]:
        if width_of(pieces[-1] + character) > width:
            pieces.append("")
        pieces[-1] += character
    return pieces
