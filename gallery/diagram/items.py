"""What stands round the model, each with its mark: lamps by number, cards by letter."""

from __future__ import annotations

from dataclasses import dataclass
from string import ascii_uppercase
from typing import Any

import numpy as np

from materials.arrays import Vector
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.setups.placed import PlacedLamp, PlacedSetup

from .views.projection import Projection
from .views.solids import card_outline, lamp_outlines


@dataclass(frozen=True)
class Item:
    """A lamp or a card with its mark."""

    mark: str
    thing: PlacedLamp | PlacedCard

    @property
    def at_cm(self) -> Vector:
        """Its centre (3,), cm."""
        at_cm = self.thing.place.at_cm if isinstance(self.thing, PlacedLamp) else self.thing.at_cm
        return np.asarray(at_cm, dtype=float)

    @property
    def name(self) -> str:
        """What a setup calls it."""
        return self.thing.role if isinstance(self.thing, PlacedLamp) else self.thing.name

    def outlines(self, projection: Projection) -> list[Vector]:
        """Return its closed outlines (n, 3) as they are seen from one side, cm."""
        if isinstance(self.thing, PlacedLamp):
            return lamp_outlines(self.thing, projection.sight)
        return [card_outline(self.thing)]


def items_of(setup: PlacedSetup) -> list[Item]:
    """Return the lamps of a setup as 1, 2, ... and its cards as A, B, ..., AA."""
    lamps = [Item(str(i + 1), lamp) for i, lamp in enumerate(setup.lamps)]
    return lamps + [Item(_letters(i), card) for i, card in enumerate(setup.cards)]


def marked_words(setup: PlacedSetup, facts: dict[str, Any]) -> list[str]:
    """Return the sentences of a setup's lamps and cards with their marks: `1 key: ...`, `card A, left: ...`."""
    things = zip(items_of(setup), [*facts["lamps"], *facts["cards"]], strict=True)
    return [
        f"card {item.mark}, {fact['words']}" if isinstance(item.thing, PlacedCard) else f"{item.mark} {fact['words']}"
        for item, fact in things
    ]


def _letters(i: int) -> str:
    """Return the name of column `i` as spreadsheets count: A to Z, AA."""
    first = "" if i < len(ascii_uppercase) else _letters(i // len(ascii_uppercase) - 1)
    return first + ascii_uppercase[i % len(ascii_uppercase)]
