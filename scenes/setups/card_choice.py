"""The choice of cards for a setup: those owned, else generic ones of the size that it wants."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from materials.surface.board_class import BoardClass, board_class
from materials.surface.boards import board_finish
from scenes.arrangement.cards.card_model import CardModel
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.lengths import about_words, size_words

from .setup import SetupCard

LARGEST_CM: Final = (100.0, 70.0)
"""A large sheet of poster board: no card is taken to be larger; common practice, no source."""
LEAST_AREA: Final = 1 / 3
"""Of the area wanted, under which a card is said to be too small."""
NAMED: Final[dict[BoardClass, tuple[str, str, str]]] = {
    "white": ("a white card", "white", "any white paper or card does"),
    "grey": ("a grey card", "grey", "any grey card does"),
    "black": ("a black card", "black", "any black cloth or card does"),
    "coloured": ("a coloured card", "of that colour", "any card of that colour does"),
    "foil": ("a card of foil", "of foil", "kitchen foil on a card does"),
    "diffuser": ("a diffuser", "a diffuser", "tracing paper or thin white cloth does"),
}
"""Of each class: what it is called, what a card of it is, and what serves for it; common practice, no source."""


@dataclass(frozen=True)
class CardChoice:
    """The card chosen for one of a setup.

    Parameters
    ----------
    wanted
        What the setup asks for.
    card
        The card, without a place, of the width (level) and height that it is put up with.
    owned
        The card of the owner's that it is; None of a generic one.
    shortfall
        A sentence where it is less than wanted.
    """

    wanted: SetupCard
    card: CardModel
    owned: CardModel | None
    shortfall: str | None

    def placed(self, at_cm: tuple[float, float, float], facing: tuple[float, float, float]) -> PlacedCard:
        """Return the card at a place, under its role in the setup."""
        return PlacedCard.model_construct(  # the limits of declared cards do not apply
            name=self.wanted.role, size_cm=self.card.size_cm, reflectance=self.card.reflectance,
            colour=self.card.colour, at_cm=at_cm, facing=facing,
        )  # fmt: skip


def choose_cards(
    wanted: Sequence[SetupCard], subject_size_cm: float, owned: Sequence[CardModel], taken: Sequence[CardModel] = ()
) -> tuple[CardChoice, ...]:
    """Return a card for each of a setup: of those owned each at most once, less those `taken` already.

    Where no card is declared as owned, generic ones are taken without a word.
    """
    used = list(taken)
    choices = []
    for card in wanted:
        choice = choose_card(card, subject_size_cm, owned, used)
        used += [choice.owned] if choice.owned else []
        choices.append(choice)
    return tuple(choices)


def choose_card(
    wanted: SetupCard, subject_size_cm: float, owned: Sequence[CardModel], taken: Sequence[CardModel] = ()
) -> CardChoice:
    """Return the card for one of a setup: of those owned and not `taken` the one of its class nearest in size."""
    size_cm = _wanted_cm(wanted, subject_size_cm)
    generic = CardModel.model_construct(name=wanted.role, size_cm=size_cm, reflectance=wanted.reflectance)
    if not owned:
        return CardChoice(wanted, generic, None, None)
    of_class = board_class(board_finish(wanted.reflectance))
    asked = f"{NAMED[of_class][0]} of about {about_words(*size_cm)}"
    fitting = [card for card in owned if board_class(card.finish) == of_class]
    free = _without(fitting, taken)
    if not free:
        why = f"none of your cards is {NAMED[of_class][1]}" if not fitting else "all of yours are in use"
        return CardChoice(wanted, generic, None, f"wants {asked}: {why}; {NAMED[of_class][2]}")
    nearest = min(free, key=lambda card: _misfit(_turned_cm(card, size_cm), size_cm))
    turned_cm = _turned_cm(nearest, size_cm)
    chosen = nearest.model_copy(update={"size_cm": turned_cm, "trifold": None})
    shortfall = None
    if math.prod(turned_cm) < LEAST_AREA * math.prod(size_cm):
        shortfall = f"wants {asked}: '{nearest.name}' of {size_words(*turned_cm)} is the nearest of yours and does less"
    return CardChoice(wanted, chosen, nearest, shortfall)


def _wanted_cm(wanted: SetupCard, subject_size_cm: float) -> tuple[float, float]:
    """Return the size that is wanted, cm, in proportion no larger than `LARGEST_CM`."""
    width, height = wanted.size[0] * subject_size_cm, wanted.size[1] * subject_size_cm
    scale = min(1.0, LARGEST_CM[0] / max(width, height), LARGEST_CM[1] / min(width, height))
    return width * scale, height * scale


def _turned_cm(card: CardModel, size_cm: tuple[float, float]) -> tuple[float, float]:
    """Return width and height of a card, a trifold laid flat, turned whichever way is nearer to a size."""
    width, height = card.flat_size_cm
    return min(((width, height), (height, width)), key=lambda turned: _misfit(turned, size_cm))


def _misfit(size_cm: tuple[float, float], wanted_cm: tuple[float, float]) -> float:
    return sum(math.log(side / wanted) ** 2 for side, wanted in zip(size_cm, wanted_cm, strict=True))


def _without(cards: Sequence[CardModel], taken: Sequence[CardModel]) -> list[CardModel]:
    """Return the cards less those taken; of two that are alike one remains where one is taken."""
    left = list(cards)
    for card in taken:
        if card in left:
            left.remove(card)
    return left
