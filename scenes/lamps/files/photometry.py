"""The content of a photometric file of any format, and the reader of its numbers."""

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
"""The largest number of any real lamp's file."""
LONGEST_CM: Final = 10_000.0
"""The largest luminous opening, cm."""
MORE_THAN_STATED: Final = 1.05
"""Ratio of emitted lumens to those of the source beyond which a file contradicts itself."""

_NUMBER: Final = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, eq=False)
class Photometry:
    """The content of a photometric file.

    distribution
        Luminous intensity by direction, cd.
    lumens
        Flux of `distribution`, which leaves the lamp.
    source_lumens
        Flux of the light source inside, as the file states it; None of absolute photometry.
    watts
        Electrical power; 0 where the file has 0.
    shape, size_cm
        Of the luminous opening: (along a turn of 0, along a turn of 90). A point is 0 by 0, the others are larger than
        0 both ways, and a disc as wide as high.

    `notes` are sentences on what was left out or approximated.
    """

    distribution: Distribution
    lumens: float
    source_lumens: float | None
    watts: float
    shape: Shape
    size_cm: tuple[float, float]
    notes: tuple[str, ...]


def lumens_note(lumens: float, source_lumens: float | None) -> list[str]:
    """Return a note where more flux leaves the lamp than its source is stated to emit."""
    if source_lumens is None or lumens <= MORE_THAN_STATED * source_lumens:
        return []
    return [f"its intensities add up to {lumens:.4g} lm, more than the {source_lumens:.4g} lm that it states"]


def disc_of(width_cm: float, height_cm: float) -> tuple[tuple[float, float], list[str]]:
    """Return the size of the disc of the area of an ellipse, and a note unless the ellipse is a disc."""
    if np.isclose(width_cm, height_cm, rtol=1e-3):
        return (width_cm, width_cm), []
    diameter = float(np.sqrt(width_cm * height_cm))
    note = f"its opening, an ellipse {width_cm:.3g} by {height_cm:.3g} cm, is taken as a disc of the same area"
    return (diameter, diameter), [note]


class Numbers:
    """A sequence of numbers as text, each with its line; what is not a number within its limits is an InputError."""

    def __init__(self, written: Sequence[tuple[int, str]]) -> None:
        self._written = written
        self._next = 0

    @property
    def left(self) -> int:
        """The number of those not yet taken."""
        return len(self._written) - self._next

    def need(self, count: int, what: str) -> None:
        """Raise InputError unless that many are left."""
        if self.left < count:
            raise InputError(f"it is cut short: it should have {count} {what}, and has {self.left}")

    def skip(self, count: int, what: str) -> None:
        """Skip that many."""
        self.need(count, what)
        self._next += count

    def take(self, what: str, least: float = -LARGEST, *, above: float = -np.inf, most: float = LARGEST) -> float:
        """Return the next number, from `least` and above `above` to `most`."""
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
        """Return the next number, an integer from `least` to `most`."""
        line = self._written[self._next][0] if self.left else 0
        number = self.take(what, least, most=most)
        if number != int(number):
            raise InputError(f"line {line} has {number:g} as {what}, should be a whole number")
        return int(number)

    def array(self, count: int, what: str, least: float = -LARGEST) -> NDArray[np.float64]:
        """Return the next numbers (count,), each at least `least`."""
        self.need(count, what)
        return np.array([self.take(what, least) for _ in range(count)])

    def end(self) -> None:
        """Raise InputError unless all were taken."""
        if self.left:
            line, text = self._written[self._next]
            raise InputError(f"line {line} goes on with {shown(text)}, should be the end after all that it counts")


def shown(text: str) -> str:
    """Return text in quotes, short and printable."""
    plain = "".join(letter if letter.isprintable() else "?" for letter in text)
    return f"'{plain[:30]}…'" if len(plain) > 30 else f"'{plain}'"
