"""Upright rectangles on a page, cm."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Box:
    """A rectangle, cm from the lower left corner of the page."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Width, cm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height, cm."""
        return self.top - self.bottom

    def grown(self, by_cm: float) -> Box:
        """Return the box with a border round it."""
        return Box(self.left - by_cm, self.bottom - by_cm, self.right + by_cm, self.top + by_cm)

    def overlaps(self, other: Box) -> bool:
        """Return whether two boxes have a point in common inside both."""
        return (
            self.left < other.right and other.left < self.right and self.bottom < other.top and other.bottom < self.top
        )

    def holds(self, other: Box) -> bool:
        """Return whether another box lies in this one."""
        return (
            self.left <= other.left and other.right <= self.right
            and self.bottom <= other.bottom and other.top <= self.top
        )  # fmt: skip
