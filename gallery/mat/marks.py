"""All marks of a setup, the centre mark first."""

from __future__ import annotations

from gallery.diagram.items import Item, items_of
from scenes.setups.placed import PlacedLamp, PlacedSetup

from .mark import Mark
from .model_marks import model_marks
from .stage_marks import stage_marks
from .thing_marks import card_mark, lamp_mark


def marks_of(setup: PlacedSetup) -> list[Mark]:
    """Return the marks of a setup: of its model, lamps, cards, camera and sheet."""
    return [*model_marks(setup), *(_mark(item, setup) for item in items_of(setup)), *stage_marks(setup)]


def _mark(item: Item, setup: PlacedSetup) -> Mark:
    if isinstance(item.thing, PlacedLamp):
        return lamp_mark(item, item.thing, setup)
    return card_mark(item, item.thing)
