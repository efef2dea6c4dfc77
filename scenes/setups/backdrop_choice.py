"""The choice of a backdrop for a setup that wants its own: the arrangement's, a card owned, else a generic sheet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from materials.surface.board_class import BoardClass, board_class
from materials.surface.boards import board_finish
from materials.surface.finish import Finish
from scenes.arrangement.arrangement import BackdropModel
from scenes.arrangement.cards.board_model import BoardModel
from scenes.arrangement.cards.card_model import CardModel
from scenes.lengths import about_words, size_words
from scenes.stage.backdrop import Sweep

LEAST_SIZES: Final = (2.5, 1.6)
"""Long and short side of a card, in subject sizes, from which it fills the frame behind the subject: a subject of 0.7
of the frame leaves 1.4 sizes, and the card stands behind it."""
REMEDY: Final[dict[BoardClass, str]] = {
    "white": "any white cloth or board of that size does",
    "grey": "any grey cloth or board of that size does",
    "black": "any black cloth or board of that size does",
}
"""What serves for a backdrop of a class; common practice, no source."""


@dataclass(frozen=True)
class BackdropChoice:
    """The backdrop chosen for a setup: the board that it is made of, and the card of the owner's that it is.

    `shortfall` is a sentence where it is not owned, though cards are, or covers less than the sheet that is drawn.
    """

    board: BoardModel
    owned: CardModel | None = None
    shortfall: str | None = None


def choose_backdrop(
    wanted: Sequence[float | str], declared: BackdropModel, subject_size_cm: float, sweep: Sweep | None,
    owned: Sequence[CardModel],
) -> BackdropChoice:  # fmt: skip
    """Return the backdrop of a setup that wants one of these boards, the first best; with none, the arrangement's own.

    The arrangement's own serves where it is of the class of a board that is wanted, then a card owned of that class and
    large enough, the nearest in reflectance. Else the first wanted is taken, without a word where no card is declared.
    """
    own = BackdropChoice(declared)
    if not wanted or sweep is None:
        return own
    for board in wanted:
        finish = board_finish(board)
        if board_class(declared.finish) == board_class(finish):
            return own
        if cards := [card for card in owned if _serves(card, finish, subject_size_cm)]:
            card = min(cards, key=lambda card: _difference(card.finish, finish))
            return BackdropChoice(card, card, _uncovered(card, board_class(finish), sweep))
    first = board_finish(wanted[0])
    shortfall = _shortfall(board_class(first), subject_size_cm) if owned else None
    return BackdropChoice(BoardModel(reflectance=wanted[0]), None, shortfall)


def _serves(card: CardModel, finish: Finish, subject_size_cm: float) -> bool:
    short, long = sorted(card.flat_size_cm)
    is_large = long >= LEAST_SIZES[0] * subject_size_cm and short >= LEAST_SIZES[1] * subject_size_cm
    return is_large and board_class(card.finish) == board_class(finish)


def _uncovered(card: CardModel, of_class: BoardClass, sweep: Sweep) -> str | None:
    """Return a sentence where a card is smaller than the sheet that is drawn, under and behind the subject."""
    sheet_cm = (sweep.width_cm, sweep.length_cm)
    if all(side <= own for side, own in zip(sorted(sheet_cm), sorted(card.flat_size_cm), strict=True)):
        return None
    return (
        f"wants a {of_class} sheet of {about_words(*sheet_cm)} under and behind the model: '{card.name}' of "
        f"{size_words(*card.flat_size_cm)} covers less; stand it behind and lay any {of_class} cloth or card in front"
    )


def _difference(one: Finish, other: Finish) -> float:
    """Return how many times more the one reflects than the other, as a logarithm without its sign."""
    return abs(math.log((one.base.mean() + 1e-4) / (other.base.mean() + 1e-4)))


def _shortfall(of_class: BoardClass, subject_size_cm: float) -> str:
    size_cm = (LEAST_SIZES[0] * subject_size_cm, LEAST_SIZES[1] * subject_size_cm)
    return (
        f"wants a {of_class} backdrop of {about_words(*size_cm)} or more: none of your cards is {of_class} and so "
        f"large; {REMEDY[of_class]}"
    )
