"""What a page of the mat is divided into: the part that shows the table, strips to tape on, strips to cut off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from gallery.paper.box import Box
from gallery.paper.size import Paper

TAB_CM: Final = 1.0
"""Strip at the right and the lower edge, on which the next page is taped (common practice, no source)."""
WASTE_CM: Final = 0.4
"""Strip at the left and the upper edge, which is cut off where a page is there."""


@dataclass(frozen=True)
class Format:
    """The parts of a page, cm from its lower left corner."""

    paper: Paper

    @property
    def table(self) -> Box:
        """What shows the table."""
        margin = self.paper.margin_cm
        return Box(
            margin + WASTE_CM,
            margin + TAB_CM,
            self.paper.width_cm - margin - TAB_CM,
            self.paper.height_cm - margin - WASTE_CM,
        )
