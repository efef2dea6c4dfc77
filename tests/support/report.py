"""One line for each published number: what it is, where it was published, what the code makes of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tests.support.notes import note


@dataclass(frozen=True)
class Tolerance:
    """How far a number may lie from the published one: a bound in its own unit, or a part of it."""

    bound: float
    is_relative: bool

    def error(self, expected: float, got: float) -> float:
        """Return the distance that the bound limits."""
        return abs(got - expected) / abs(expected) if self.is_relative else abs(got - expected)

    def show(self, error: float) -> str:
        """Return the error beside its bound, in words."""
        kind = "relative" if self.is_relative else "absolute"
        return f"{error:.2g} ({kind}, to {self.bound:g})"


def absolute(bound: float) -> Tolerance:
    """Return a bound in the unit of the number."""
    return Tolerance(bound, is_relative=False)


def relative(bound: float) -> Tolerance:
    """Return a bound as a part of the published number: .01 is one per cent."""
    return Tolerance(bound, is_relative=True)


SECTION: Final = "published numbers: case | source | expected | got | error"


def report(case: str, source: str, expected: float, got: float, tolerance: Tolerance) -> None:
    """Note one line of the table, then fail if `got` is further from `expected` than `tolerance`."""
    error = tolerance.error(expected, got)
    holds = error <= tolerance.bound
    mark = "" if holds else " FAILED"
    note(SECTION, f"{case} | {source} | {expected:.9g} | {got:.9g} | {tolerance.show(error)}{mark}")
    assert holds, f"{case}: {got:.9g}, published {expected:.9g} ({source}), error {tolerance.show(error)}"
