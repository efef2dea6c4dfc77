"""The cards of a setup at their places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.setups.card_choice import CardChoice
from scenes.setups.place import Place
from scenes.setups.placed import PlacedLamp

from .collisions import lamp_body
from .lacks import card_lack
from .lattice import Shape
from .search import find_place
from .surroundings import Surroundings


def place_cards(
    choices: Sequence[CardChoice], lamps: Sequence[PlacedLamp], around: Surroundings
) -> tuple[tuple[PlacedCard, ...], tuple[str, ...]]:
    """Return the cards of a setup clear of its lamps and out of their light, and sentences on what they lack."""
    own = replace(
        around,
        lamps=tuple(lamp_body(lamp.lamp, lamp.place) for lamp in lamps),
        cards=(),  # cards may touch one another
        lit_from=tuple(lamp.place.at_cm for lamp in lamps),
    )
    cards, lacks = [], []
    for choice in choices:
        found = find_place(choice.wanted, shape_of(choice), replace(own, clearance_cm=choice.wanted.clearance_cm))
        lacks += [choice.shortfall] if choice.shortfall else []
        if found.is_beyond(choice.wanted):
            lacks.append(card_lack(choice, found, around.stage))
        if found.place is not None:
            cards.append(_placed_card(choice, found.place))
    return tuple(cards), tuple(lacks)


def shape_of(choice: CardChoice) -> Shape:
    """Return the body of a card, turned as it was chosen or by a quarter."""
    width, height = choice.card.size_cm
    if width == height:
        return Shape(((False, (width, height)),), on_table=True)
    is_upright = height > width
    chosen, turned = (is_upright, (width, height)), (not is_upright, (height, width))
    return Shape((chosen, turned), on_table=True)


def _placed_card(choice: CardChoice, place: Place) -> PlacedCard:
    short, long = sorted(choice.card.size_cm)
    size_cm = (short, long) if place.upright else (long, short)
    x, y, z = (float(v) for v in place.facing)
    card = choice.card.model_copy(update={"size_cm": size_cm})
    return replace(choice, card=card).placed(place.at_cm, (x, y, z))
