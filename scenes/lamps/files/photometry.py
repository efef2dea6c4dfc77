"""What a photometric file says of a lamp, and how its numbers are read, whatever its format."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError
from scenes.lamps.distribution import Distribution

Shape: TypeAlias = Literal["point", "rectangle", "disc"]

LARGEST: Final = 1e9
"""No number in a file of a real lamp is larger."""
LONGEST_CM: Final = 10_000.0
"""No luminous opening is longer."""
MORE_THAN_STATED: Final = 1.05
"""From how many times the light source's own lumens on a file contradicts itself."""

_NUMBER: Final = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, eq=False)
class Photometry:
    """What a photometric file says of a lamp.

    distribution
        Where the light goes, cd.
    lumens
        All that leaves the lamp: the flux of `distribution`.
    source_lumens
        What the file states for the light source inside, of which the lamp keeps a part; none where it was not
        measured apart (absolute photometry).
    watts
        Of the supply; 0 where the file says 0.
    shape, size_cm
        Of the luminous opening: (along a turn of 0, along a turn of 90). A point is 0 by 0, the others are larger than
        0 both ways, and a disc as wide as high.

    `notes` are sentences on what was left out or taken otherwise.
    """

    distribution: Distribution
    lumens: float
    source_lumens: float | None
    watts: float
    shape: Shape
    size_cm: tuple[float, float]
    notes: tuple[str, ...]


def lumens_note(lumens: float, source_lumens: float | None) -> list[str]:
    """Return a note where more light leaves the lamp than its source is said to give."""
    if source_lumens is None or lumens <= MORE_THAN_STATED * source_lumens:
        return []
    return [f"its intensities add up to {lumens:.4g} lm, more than the {source_lumens:.4g} lm that it states"]


def disc_of(width_cm: float, height_cm: float) -> tuple[tuple[float, float], list[str]]:
    """Return the size of the disc for an ellipse, of the same area, and a note unless it is one already."""
    if np.isclose(width_cm, height_cm, rtol=1e-3):
        return (width_cm, width_cm), []
    diameter = float(np.sqrt(width_cm * height_cm))
    note = f"its opening, an ellipse {width_cm:.3g} by {height_cm:.3g} cm, is taken as a disc of the same area"
    return (diameter, diameter), [note]


class Numbers:
    """Numbers as written, each with its line, taken one after another; what is no such number is an InputError."""

    def __init__(self, written: Sequence[tuple[int, str]]) -> None:
        self._written = written
        self._next = 0

    @property
    def left(self) -> int:
        """How many were not taken."""
        return len(self._written) - self._next

    def need(self, count: int, what: str) -> None:
        """Check that so many more are there, before they are taken."""
        if self.left < count:
            raise InputError(f"it is cut short: it should have {count} {what}, and has {self.left}")

    def skip(self, count: int, what: str) -> None:
        """Pass over so many."""
        self.need(count, what)
        self._next += count

    def take(self, what: str, least: float = -LARGEST, *, above: float = -np.inf, most: float = LARGEST) -> float:
        """Return the next one, from `least` and above `above` to `most`."""
        self.need(1, f"number more, {what}")
        line, text = self._written[self._next]
        if not _NUMBER.fullmatch(text):
            raise InputError(f"line {line} has {shown(text)} as {what}, should be a number")
        number = float(text)
        if not (least <= number <= most and number > above):
            bound = f"above {above:g}" if np.isfinite(above) else f"at least {least:.12g}"
            raise InputError(f"line {line} has {shown(text)} as {what}, should be {bound} and at most {most:.12g}")
        self._next += 1
        return number

    def count(self, what: str, least: int, most: int) -> int:
        """Return the next one, a whole number from `least` to `most`."""
        line = self._written[self._next][0] if self.left else 0
        number = self.take(what, least, most=most)
        if number != int(number):
            raise InputError(f"line {line} has {number:g} as {what}, should be a whole number")
        return int(number)

    def array(self, count: int, what: str, least: float = -LARGEST) -> NDArray[np.float64]:
        """Return the next `count`, (count,), each at least `least`."""
        self.need(count, what)
        return np.array([self.take(what, least) for _ in range(count)])

    def end(self) -> None:
        """Check that none is left."""
        if self.left:
            line, text = self._written[self._next]
            raise InputError(f"line {line} goes on with {shown(text)}, should be the end after all that it counts")


def shown(text: str) -> str:
    """Return what was found, in quotes, short and printable."""
    plain = "".join(letter if letter.isprintable() else "?" for letter in text)
    return f"'{plain[:30]}…'" if len(plain) > 30 else f"'{plain}'"
