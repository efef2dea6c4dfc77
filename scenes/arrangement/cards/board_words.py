"""Boards and papers by everyday words: in any order, and with their colour or without where that is plain."""

from __future__ import annotations

import re
from difflib import get_close_matches
from functools import cache
from typing import Final

from materials.surface.board_class import BoardClass, board_class
from materials.surface.boards import named_boards
from scenes.errors import LONGEST_WORD

COLOUR_OF: Final[dict[BoardClass, str]] = {
    "white": "white", "grey": "grey", "black": "black", "foil": "silver", "diffuser": "white",
}  # fmt: skip
"""The colour that boards of a class are called by."""
HUES: Final = frozenset({
    "amber", "beige", "blue", "brown", "cream", "crimson", "cyan", "gold", "green", "ivory", "khaki", "lilac",
    "magenta", "maroon", "navy", "olive", "orange", "pink", "purple", "red", "scarlet", "tan", "teal", "turquoise",
    "violet", "yellow",
})  # fmt: skip
"""Colours that no board of ours has."""
SPELLINGS: Final = {
    "gray": "grey", "aluminum": "aluminium", "foamboard": "foam board", "foamcore": "foam core",
    "cardstock": "card stock", "posterboard": "poster board",
}  # fmt: skip
FILLERS: Final = frozenset({"a", "an", "my", "of", "one", "piece", "plain", "sheet", "the"})
"""Words that say nothing about a board."""


def find_board(text: str) -> str | None:
    """Return the name of the board or paper that is called by these words, or None."""
    words = _words(text)
    for name, colour, phrases in _phrases():
        if any(words in (phrase, phrase | {colour}) for phrase in phrases):
            return name
    return None


def nearest_board(text: str) -> str:
    """Return a hint at the board nearest in meaning: never one of another colour than a colour among the words."""
    known = HUES.union(*(phrase | {colour} for _, colour, phrases in _phrases() for phrase in phrases))
    words = {near for word in _words(text[:LONGEST_WORD]) for near in get_close_matches(word, known, n=1, cutoff=0.7)}
    if words & HUES:
        return '; a coloured one takes colour = "#c02020", and a card its size_cm too'
    colours = words & set(COLOUR_OF.values())
    likeness = {
        name: max(len(words & phrase) / len(words | phrase) if words & phrase - colours else 0.0 for phrase in phrases)
        for name, colour, phrases in _phrases()
        if not colours or colour in colours
    }
    best = max(likeness, key=lambda name: likeness[name])
    return f" (did you mean '{best}'?)" if likeness[best] else f" (there are: {', '.join(likeness)})"


@cache
def _phrases() -> tuple[tuple[str, str, tuple[frozenset[str], ...]], ...]:
    """Return each board's name, its colour, and the words of each of its names."""
    return tuple(
        (name, COLOUR_OF[board_class(board.finish)], tuple(map(_words, (name, *board.also))))
        for name, board in named_boards().items()
    )


def _words(text: str) -> frozenset[str]:
    words = re.findall(r"[^\W_]+|%", text.lower())
    return frozenset(part for word in words for part in SPELLINGS.get(word, word).split()) - FILLERS
