"""The one way in which wrong input is reported."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Final

from .text import listed

MOST_LISTED: Final = 40
"""Of names that are known where none is near."""
LONGEST_WORD: Final = 300


class InputError(Exception):
    """What the person gave is wrong: one sentence with the file, the key, what was found and what would be right.

    The command line prints it and exits with status 2.
    """


class ArrangementError(InputError):
    """What an arrangement declares cannot stand on a table; who knows the file puts its name before."""


def nearest(word: str, choices: Iterable[str]) -> str:
    """Return `` (did you mean 'x'?)`` for the nearest spelling, or what there is where nothing is near."""
    known = sorted(choices)
    close = get_close_matches(word[:LONGEST_WORD], known, n=1, cutoff=0.6)
    return f" (did you mean '{close[0]}'?)" if close else f" (there are: {listed(known, MOST_LISTED)})"
