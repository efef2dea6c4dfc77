"""The numbers of passes at which a lamp image is sealed on its way: it goes from rung to rung.

What a rung adds, and how it is rounded there, depends on the rung alone: an image of so many passes has the same bits
whichever sheet, interruption or machine brought it there.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

FIRST_RUNG: Final = 2
"""A pass of each half."""
FINE_FROM: Final = 8
"""From here on there is a rung between a number of passes and its double."""


def next_rung(passes: int) -> int:
    """Return the least rung above a number of passes: 2, 4, 8, 12, 16, 24, 32, 48 and so on."""
    if passes < FIRST_RUNG:
        return FIRST_RUNG
    power = last_doubling(passes)
    middle = power + power // 2
    return middle if power >= FINE_FROM and passes < middle else 2 * power


def rungs_to(passes: int, wanted: int) -> Iterator[int]:
    """Yield the rungs above `passes` and below `wanted`, then `wanted` itself."""
    while passes < wanted:
        passes = min(next_rung(passes), wanted)
        yield passes


def is_doubling(rung: int) -> bool:
    """Return whether a number of passes is a power of two."""
    return rung == last_doubling(rung)


def last_doubling(passes: int) -> int:
    """Return the greatest power of two up to a number of passes, of which there is one at least."""
    power: int = 2 ** (passes.bit_length() - 1)
    return power
