"""Where a lamp of a setup hangs, or stands near paper, cloth or a card: the usual caution."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

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
ALWAYS: Final = (
    "Lamps run hot and batteries can burn: follow the label and the maker's instructions, let no lit lamp alone, and "
    "don't look into a bright one from near. Keep cables where nobody trips."
)


def care_notes(setup: PlacedSetup) -> list[str]:
    """Return the cautions of a setup, in sentences."""
    items = items_of(setup)
    cards = {f"card {item.mark}": card_body(item.thing) for item in items if isinstance(item.thing, PlacedCard)}
    notes = [
        note
        for item in items
        if isinstance(item.thing, PlacedLamp)
        for note in _lamp_notes(f"{item.mark} {item.name}", item.thing, cards, setup.sweep)
    ]
    return [*notes, ALWAYS]


def _lamp_notes(name: str, lamp: PlacedLamp, cards: Mapping[str, Body], sweep: Sweep | None) -> Iterator[str]:
    """Yield a sentence where a lamp hangs, and where sheet or card is nearer than its label asks, or else is usual."""
    if lamp.hangs:
        yield (
            f"{name} hangs from an arm: weight the foot of its stand, tighten every joint, and keep hands and face "
            "from under it."
        )
    body, label_cm = lamp_body(lamp.lamp, lamp.place), lamp.lamp.model.nearest_cm
    least = label_cm or (LED_CM if "LED" in lamp.lamp.source.kind else OTHER_CM)
    gaps = {what: gap_cm(body, card, least) for what, card in cards.items()}
    if sweep is not None:
        gaps["the sheet"] = max(sweep.clearance_cm(body.points()), 0.0)
    near = [f"{distance_words(gap)} from {what}" for what, gap in gaps.items() if gap < least]
    if near:
        asks = f"its label asks for {label_cm:g} cm" if label_cm else "see what distance its label asks for"
        yield f"{name} comes {' and '.join(near)}, which may be paper or cloth: {asks}, and feel for warmth."
