"""Cards at their places, a trifold as its three boards."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from scenes.arrangement.value_types import Direction, Point
from scenes.geometry import axes_facing

from .card_model import CardModel, Trifold


class PlacedCard(CardModel):
    """A card at a place on the table."""

    at_cm: Point
    facing: Direction

    def unfolded(self) -> tuple[PlacedCard, ...]:
        """Return the card, or the three boards of a trifold: the middle, then the wings to its left and right."""
        if self.trifold is None:
            return (self,)
        middle = self.model_copy(update={"trifold": None})
        return (middle, *(self._wing(self.trifold, side) for side in (-1.0, 1.0)))

    def _wing(self, trifold: Trifold, side: float) -> PlacedCard:
        width, _, normal = axes_facing(self.facing).T
        bend = np.radians(180.0 - trifold.open_deg)
        along = side * np.cos(bend) * width + np.sin(bend) * normal  # from the hinge outward
        at = np.asarray(self.at_cm) + side * self.size_cm[0] / 2 * width + trifold.wing_cm / 2 * along
        facing = np.cos(bend) * normal - side * np.sin(bend) * width
        place = {
            "at_cm": tuple(map(float, at)),
            "facing": tuple(map(float, facing)),
            "size_cm": (trifold.wing_cm, self.size_cm[1]),
        }
        return self.model_copy(update={"name": f"{self.name} wing", "trifold": None, **place})


def placed_cards(cards: Iterable[CardModel]) -> tuple[PlacedCard, ...]:
    """Return the boards of those cards that an arrangement places, a trifold as its three."""
    placed = (PlacedCard(**card.model_dump(exclude_unset=True)) for card in cards if card.at_cm is not None)
    return tuple(board for card in placed for board in card.unfolded())
