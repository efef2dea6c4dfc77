"""Durations as they are typed, `1h30m`, and in words, `1 h 30 min`."""

from __future__ import annotations

import re
from typing import Final

_TYPED: Final = re.compile(
    r"(?:(?P<w>\d{1,3}) ?w(?:eeks?)?)? ?"
    r"(?:(?P<d>\d{1,3}) ?d(?:ays?)?)? ?"
    r"(?:(?P<h>\d{1,4}(?:\.\d{1,3})?) ?h(?:ours?)?)? ?"
    r"(?:(?P<m>\d{1,5}(?:\.\d{1,3})?) ?m(?:in)?)? ?"
    r"(?:(?P<s>\d{1,6}) ?s)?",
    re.ASCII,
)
_SECONDS: Final = {"w": 7 * 86400, "d": 86400, "h": 3600, "m": 60, "s": 1}
_IN_SECONDS: Final = 100
"""Shorter durations are given in seconds."""


def read_duration(typed: str) -> float | None:
    """Return the seconds of a duration such as `30m`, `6h`, `1h30m`, `90 s` or `8w`; None of other text."""
    match = _TYPED.fullmatch(typed.strip().lower())
    if match is None or not any(match.groups()):
        return None
    return sum(float(number) * _SECONDS[unit] for unit, number in match.groupdict().items() if number)


def duration_words(seconds: float) -> str:
    """Return a duration in words: `40 s`, `12 min`, `1 h 50 min`, `2 d 3 h`."""
    if seconds < _IN_SECONDS:
        return f"{max(0, round(seconds))} s"
    minutes = round(seconds / 60)
    if minutes < 60:
        return f"{minutes} min"
    hours, minutes = divmod(minutes, 60)
    if hours < 24:
        return f"{hours} h {minutes} min" if minutes else f"{hours} h"
    days, hours = divmod(round(seconds / 3600), 24)
    return f"{days} d {hours} h" if hours else f"{days} d"
