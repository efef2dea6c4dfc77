"""The centre of a lamp, which heights and strings are measured from: where it is on lamps of each form."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from scenes.setups.placed import PlacedLamp

FACE: Final = "the middle of its face"
OTHERS: Final = {"ring": "on a ring where two threads across it cross", "bulb": "in a bulb its middle"}


def centre_words(lamps: Iterable[PlacedLamp]) -> str:
    """Return where the centre of lamps is, by their forms: `the middle of its face, in a bulb its middle`."""
    kinds = {lamp.lamp.model.kind for lamp in lamps}
    others = [words for kind, words in OTHERS.items() if kind in kinds]
    return ", ".join([FACE, *others] if kinds - OTHERS.keys() or not kinds else others)
