"""Errors in the input, reported in one sentence."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Final

from .text import listed

MOST_LISTED: Final = 40
"""Known names, where none is near."""
LONGEST_WORD: Final = 300


class InputError(Exception):
    """Wrong input: one sentence with the file, the key, the value found and what would be right.

    The command line prints it and exits with status 2.
    """


class ArrangementError(InputError):
    """An arrangement that cannot be laid out; the caller that knows the file prepends its name."""


def nearest(word: str, choices: Iterable[str]) -> str:
    """Return `` (did you mean 'x'?)`` for the nearest spelling, or what there is where nothing is near."""
    known = sorted(choices)
    close = get_close_matches(word[:LONGEST_WORD], known, n=1, cutoff=0.6)
    return f" (did you mean '{close[0]}'?)" if close else f" (there are: {listed(known, MOST_LISTED)})"
