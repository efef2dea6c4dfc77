"""Where a lamp of a setup hangs, or stands near paper, cloth, a card or the table: the usual caution."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.lengths import distance_words
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.setups.placement.collisions import Body, card_body, gap_cm, lamp_body
from scenes.stage.backdrop import Sweep

from .items import items_of

LED_CM: Final = 10.0
"""From the front of an LED lamp to paper or cloth, where no label says more (common practice, no source)."""
OTHER_CM: Final = 30.0
"""From any other lamp, or one that may be hot (common practice, no source)."""
HANGING: Final = "{} on an arm: weight the stand's foot, tighten every joint, keep hands and face from under it."
NEAR: Final = (
    "{}: paper and cloth scorch, plastic softens. Keep the distance that the lamp's label asks for, and feel for "
    "warmth."
)
ALWAYS: Final = (
    "Lamps run hot and batteries can burn: follow the label and the maker's instructions, let no lit lamp alone, and "
    "don't look into a bright one from near. Keep cables where nobody trips."
)


def care_notes(setup: PlacedSetup) -> list[str]:
    """Return the cautions of a setup, in sentences."""
    items = items_of(setup)
    cards = {f"card {item.mark}": card_body(item.thing) for item in items if isinstance(item.thing, PlacedCard)}
    lamps = {f"{item.mark} {item.name}": item.thing for item in items if isinstance(item.thing, PlacedLamp)}
    hanging = [name for name, lamp in lamps.items() if lamp.hangs]
    gaps = {name: _gap_words(lamp, cards, setup.sweep) for name, lamp in lamps.items()}
    near = [f"{name} {words}" for name, words in gaps.items() if words]
    notes = [HANGING.format(", ".join(hanging))] if hanging else []
    return [*notes, *([NEAR.format("; ".join(near))] if near else []), ALWAYS]


def _gap_words(lamp: PlacedLamp, cards: Mapping[str, Body], sweep: Sweep | None) -> str:
    """Return how far sheet and cards are that are nearer than a lamp's label asks, or else is usual.

    The table is named where it is nearer than the sheet and than a label asks: it is of wood or plastic.
    """
    body, label_cm = lamp_body(lamp.lamp, lamp.place), lamp.lamp.model.nearest_cm
    least = label_cm or (LED_CM if "LED" in lamp.lamp.source.kind else OTHER_CM)
    gaps = {what: gap_cm(body, card, least) for what, card in cards.items()}
    points = body.points()
    sheet_cm = np.inf if sweep is None else float(sweep.distances_cm(points).min())
    gaps["the sheet"] = sheet_cm
    table_cm = max(float(points[:, 2].min()), 0.0)
    if label_cm and table_cm < sheet_cm:
        gaps["the table"] = table_cm
    near = " and ".join(f"{distance_words(gap)} from {what}" for what, gap in gaps.items() if gap < least)
    return f"{near} (its label asks for {label_cm:g} cm)" if near and label_cm else near
