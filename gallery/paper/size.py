"""Sizes of printer paper."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from scenes.arrangement.cards.paper_sizes import paper_sizes

from .box import Box

MARGIN_CM: Final = 1.2
"""White border: home printers leave out up to about 1 cm (common practice, no source)."""


class PaperName(StrEnum):
    """A printer's paper."""

    A4 = "A4"
    letter = "letter"


@dataclass(frozen=True)
class Paper:
    """A sheet of paper, cm; inside `margin_cm` of its edges it stays white."""

    width_cm: float
    height_cm: float
    margin_cm: float = MARGIN_CM

    @property
    def lying(self) -> Paper:
        """The sheet turned by a quarter, its longer side level."""
        return Paper(max(self.width_cm, self.height_cm), min(self.width_cm, self.height_cm), self.margin_cm)

    @property
    def inner(self) -> Box:
        """The rectangle inside the margins."""
        return Box(self.margin_cm, self.margin_cm, self.width_cm - self.margin_cm, self.height_cm - self.margin_cm)

    @property
    def inner_cm(self) -> tuple[float, float]:
        """Width and height inside the margins, cm."""
        return self.width_cm - 2 * self.margin_cm, self.height_cm - 2 * self.margin_cm


def paper_of(name: PaperName) -> Paper:
    """Return an upright sheet of a printer's paper."""
    return Paper(*paper_sizes()[name.value])
