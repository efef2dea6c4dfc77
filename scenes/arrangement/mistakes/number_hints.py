"""Numbers and lists of numbers that were written as text, as they should be written."""

from __future__ import annotations

import re
from typing import Final

_NUMBER: Final = re.compile(r"-?\d+(?:[.,]\d+)?")
_NUMBERS: Final = re.compile(r"-?\d+(?:\.\d+)?")


def number_hint(value: object) -> str:
    """Return how the one number in a text is written: `, as 18` of "18 cm", `, as 0.5` of "50 %"; else nothing."""
    found = _NUMBER.findall(value) if isinstance(value, str) else []
    if len(found) != 1:
        return ""
    number = float(found[0].replace(",", "."))
    return f", as {number / 100 if '%' in str(value) else number:g}"


def list_hint(value: object) -> str:
    """Return how the numbers in a text are written as a list: `, as [10, 20, 30]` of "10,20,30"; else nothing."""
    found = _NUMBERS.findall(value) if isinstance(value, str) else []
    return f", as [{', '.join(found)}]" if len(found) > 1 else ""


def share_hint(value: object, most: object) -> str:
    """Return a percentage as the share that was asked for: `, as 0.5 for 50 %` of 50 where 1 is the most."""
    if most != 1 or not isinstance(value, int | float) or not 2 <= value <= 100:
        return ""
    return f", as {value / 100:g} for {value:g} %"
