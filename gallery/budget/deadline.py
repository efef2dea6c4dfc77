"""When time is over: after a duration of work (`--for 6h`), or at a time of day (`--until 07:00`)."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from scenes.errors import InputError

from .duration import read_duration

SHORTEST_S: Final = 1.0
LONGEST_S: Final = 30 * 86400.0
TIMES_OF_DAY: Final = ("%H:%M", "%H:%M:%S")


@dataclass(frozen=True)
class Deadline:
    """A moment by one of the machine's clocks, which is read anew each time that it is asked how long until then.

    Parameters
    ----------
    option
        As it was typed: `--until 07:00`.
    moment
        What the clock shows then, in seconds.
    clock
        `time.monotonic`, which on Linux and macOS stands still while the machine sleeps, or `time.time`, which jumps
        where somebody sets it.
    """

    option: str
    moment: float
    clock: Callable[[], float]

    def seconds_left(self) -> float:
        """Return the seconds until then, negative afterwards."""
        return self.moment - self.clock()


def after(typed: str, clock: Callable[[], float] = time.monotonic) -> Deadline:
    """Return the deadline a duration from now, as `6h`.

    Raises
    ------
    InputError
        For other text, and for less than a second or more than 30 days.
    """
    seconds = read_duration(typed)
    if seconds is None or not SHORTEST_S <= seconds <= LONGEST_S:
        raise InputError(f"--for {typed}: give how long to work, up to 30 days, as 30m, 6h or 1h30m")
    return Deadline(f"--for {typed}", clock() + seconds, clock)


def at_time(typed: str, clock: Callable[[], float] = time.time) -> Deadline:
    """Return the deadline at a local time: `07:00`, the next time that it is, or `2026-11-28T07:00`.

    Raises
    ------
    InputError
        For other text, for a moment that is past, and for one more than 30 days ahead.
    """
    now = datetime.fromtimestamp(clock())
    moment = _moment(typed, now)
    if moment is None:
        raise InputError(f"--until {typed}: give a time of day, as 07:00, or a day with it, as {now:%Y-%m-%d}T23:30")
    deadline = Deadline(f"--until {typed}", moment.timestamp(), clock)
    if not 0 < deadline.seconds_left() <= LONGEST_S:
        away = "more than 30 days ahead" if deadline.seconds_left() > 0 else "past"
        raise InputError(f"--until {typed}: is {away}; it is {now:%Y-%m-%dT%H:%M} now")
    return deadline


def _moment(typed: str, now: datetime) -> datetime | None:
    """Return the next moment of a time of day, or the moment of a date and a time; None of other text."""
    for form in TIMES_OF_DAY:
        with suppress(ValueError):
            today = datetime.combine(now.date(), datetime.strptime(typed.strip(), form).time())
            return today if today > now else today + timedelta(days=1)
    for form in TIMES_OF_DAY:
        with suppress(ValueError):
            return datetime.strptime(typed.strip().replace(" ", "T"), f"%Y-%m-%dT{form}")
    return None
