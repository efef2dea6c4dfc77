"""The cards owned, as `spruelight check` says them: those in everyday words with the size that they are taken for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from scenes.arrangement.cards.card_model import CardModel
from scenes.lengths import size_words


def card_facts(owned: Sequence[CardModel]) -> list[dict[str, Any]]:
    """Return name, size and board of each card, as plain data."""
    return [{"name": card.name, "size_cm": list(card.flat_size_cm), "board": card.board} for card in owned]


def card_lines(facts: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return the cards in a line, alike ones counted; none where none is owned."""
    counts = Counter((card["board"], *card["size_cm"]) for card in facts)
    cards = [
        f"{f'{count} of ' if count > 1 else ''}{board} {size_words(width, height)}"
        for (board, width, height), count in counts.items()
    ]
    return [f"cards for setups: {', '.join(cards)}"] if cards else []
