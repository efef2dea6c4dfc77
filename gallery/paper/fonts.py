"""Fonts for text in any script: DejaVu Sans, and for what it lacks those of the system."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final

from scenes.text import printable

if TYPE_CHECKING:
    from matplotlib.font_manager import FontProperties

FAMILY: Final = "DejaVu Sans"
"""It comes with matplotlib."""
PLACEHOLDERS: Final = "Last Resort"
"""A font of empty boxes for every character there is."""
MISSING: Final = "\u25a1"
"""An empty square, in place of a character that no font has."""


def font_of(text: str, size_pt: float, *, bold: bool = False) -> FontProperties:
    """Return the font of a text, with further families for the characters that the first lacks."""
    from matplotlib.font_manager import FontProperties

    others = sorted({family for c in set(text) if (family := _family_with(c)) not in (None, FAMILY)})
    return FontProperties(family=[FAMILY, *others], size=size_pt, weight="bold" if bold else "normal")


def drawable(text: str) -> str:
    """Return text on one line that fonts have every character of; what none has becomes an empty square."""
    return "".join(c if _family_with(c) else MISSING for c in printable(text))


@cache
def _family_with(character: str) -> str | None:
    """Return the first family that has a character, the usual one before all others; None where none has."""
    return next((family for family, code_points in _families() if ord(character) in code_points), None)


@cache
def _families() -> tuple[tuple[str, frozenset[int]], ...]:
    """Return every upright family of TrueType outlines, which PDF takes as they are, with its code points."""
    from matplotlib.font_manager import fontManager
    from matplotlib.ft2font import FT2Font

    files = {
        entry.name: entry.fname
        for entry in sorted(fontManager.ttflist, key=lambda entry: entry.fname, reverse=True)
        if entry.fname.endswith(".ttf") and (entry.style, entry.weight) == ("normal", 400)
        and PLACEHOLDERS not in entry.name
    }  # fmt: skip
    names = [FAMILY, *sorted(files.keys() - {FAMILY})]
    return tuple((name, frozenset(FT2Font(files[name]).get_charmap())) for name in names)
