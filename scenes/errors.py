"""Errors in the input, reported in one sentence."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from typing import Final, TypeVar

from .text import listed

Thing = TypeVar("Thing")
Made = TypeVar("Made")

MOST_LISTED: Final = 40
"""Known names, where none is near."""
LONGEST_WORD: Final = 300
CLOSE: Final = 5
"""Nearest spellings, of which the first that contradicts no word is proposed."""
OPPOSITES: Final = tuple(
    frozenset(words.split())
    for words in (
        "white grey gray black silver gold red orange yellow green blue purple pink brown",
        "left right",
        "front rear back",
        "upper lower",
        "warm cool cold",
    )
)
"""Words of which one is not meant by another, however near their spelling."""


class InputError(Exception):
    """Wrong input: a sentence for each mistake, with the file, the key, the value found and what would be right.

    The command line prints them, a line each, and exits with status 2.
    """

    @property
    def sentences(self) -> tuple[str, ...]:
        """The sentences, one a mistake."""
        return tuple(map(str, self.args))

    def __str__(self) -> str:
        """Return the sentences, a line each."""
        return "\n".join(self.sentences)


def each(make: Callable[[Thing], Made], things: Iterable[Thing]) -> list[Made]:
    """Return what is made of each thing.

    Raises
    ------
    InputError
        With the sentences on all the things that are wrong.
    """
    made: list[Made] = []
    sentences: list[str] = []
    for thing in things:
        try:
            made.append(make(thing))
        except InputError as error:
            sentences += error.sentences
    if sentences:
        raise InputError(*sentences)
    return made


class ArrangementError(InputError):
    """An arrangement that cannot be laid out; the caller that knows the file prepends its name."""


def nearest(word: str, choices: Iterable[str]) -> str:
    """Return `` (did you mean 'x'?)`` for the nearest spelling, or what there is where nothing is near."""
    known = sorted(choices)
    near = get_close_matches(word[:LONGEST_WORD], known, n=CLOSE, cutoff=0.6)
    close = [choice for choice in near if not _contradicts(word[:LONGEST_WORD], choice)]
    return f" (did you mean '{close[0]}'?)" if close else f" (there are: {listed(known, MOST_LISTED)})"


def _contradicts(one: str, other: str) -> bool:
    """Return whether one name has a word whose opposite stands in the other: black and white, left and right."""
    words, others = (set(re.findall(r"[a-z]+", name.lower())) for name in (one, other))
    return any(words & group and others & group and not words & others & group for group in OPPOSITES)
