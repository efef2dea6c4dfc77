"""All marks of a setup, the centre mark first."""

from __future__ import annotations

from gallery.diagram.items import Item, items_of
from gallery.diagram.measures import reading_of
from scenes.setups.placed import PlacedLamp, PlacedSetup

from .lamps_and_cards import card_mark, lamp_mark
from .mark import Mark
from .model import model_marks
from .stage import stage_marks


def marks_of(setup: PlacedSetup) -> list[Mark]:
    """Return the marks of a setup: of its model, lamps, cards, camera and sheet."""
    return [*model_marks(setup), *(_mark(item, setup) for item in items_of(setup)), *stage_marks(setup)]


def _mark(item: Item, setup: PlacedSetup) -> Mark:
    if isinstance(item.thing, PlacedLamp):
        return lamp_mark(item, item.thing, setup)
    return card_mark(item, item.thing, reading_of(setup))
