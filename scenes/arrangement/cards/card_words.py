"""Cards by everyday words, as "A4 white paper", "30 x 40 cm black foam board" or "kitchen foil"."""

from __future__ import annotations

import re
from typing import Any, Final

from materials.surface.boards import named_boards

from .board_words import find_board, nearest_board
from .paper_sizes import paper_sizes

CM_OF: Final = {"cm": 1.0, "mm": 0.1, "in": 2.54, "inch": 2.54, "inches": 2.54}
_NUMBERS: Final = re.compile(
    r"(?<![\w.,])(\d+(?:[.,]\d+)?) ?[x\u00d7] ?(\d+(?:[.,]\d+)?)(?: ?(cm|mm|inches|inch|in))?(?![\w.,])", re.IGNORECASE
)


def card_in_words(text: str) -> dict[str, Any]:
    """Return the keys of a card: its name, its size, else the usual one of its board, and its board.

    The words stand in any order: a paper size or width x height with its unit, and a board or paper.

    Raises
    ------
    ValueError
        Where they name no board, two sizes, or a size without its unit.
    """
    rest, sizes = _without_sizes(text)
    if len(sizes) > 1:
        raise ValueError("it names two sizes; keep one, as 'A4 white paper'")
    board = find_board(rest)
    if not rest:
        raise ValueError("it names no board or paper; write it as 'A4 white paper'")
    if board is None:
        raise ValueError(f"no board or paper is called '{rest}'{nearest_board(rest)}")
    return {"name": text, "size_cm": sizes[0] if sizes else named_boards()[board].usual_cm, "reflectance": board}


def _without_sizes(text: str) -> tuple[str, list[tuple[float, float]]]:
    """Return the words that say no size, and the sizes that the others say, cm."""
    sizes = [_in_cm(*found.groups()) for found in _NUMBERS.finditer(text)]
    papers = {name.lower(): size for name, size in paper_sizes().items()}
    words = _NUMBERS.sub(" ", text).split()
    sizes += [papers[word.lower()] for word in words if word.lower() in papers]
    return " ".join(word for word in words if word.lower() not in papers), sizes


def _in_cm(width: str, height: str, unit: str | None) -> tuple[float, float]:
    if unit is None:
        raise ValueError(f"say the unit of {width} x {height}, as '{width} x {height} cm'")
    cm = CM_OF[unit.lower()]
    return round(float(width.replace(",", ".")) * cm, 4), round(float(height.replace(",", ".")) * cm, 4)
