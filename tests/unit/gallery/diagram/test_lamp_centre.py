"""The centre of a lamp is told of each form that there is, and of no other."""

from __future__ import annotations

import pytest

from gallery.diagram.lamp_centre import centre_words
from tests.support.diagrams.cases import as_placed

BULB = {"name": "b", "kind": "bulb", "diameter_cm": 6, "lumens": 300, "at_cm": [30, -20, 12], "aim_cm": [0, 0, 5]}
PANEL = {"name": "a", "size_cm": [20, 14], "lumens": 900, "at_cm": [-25, -15, 43], "aim_cm": [0, 0, 15]}


@pytest.mark.parametrize(
    ("lamps", "words"),
    [
        ([PANEL], "the middle of its face"),
        ([BULB], "in a bulb its middle"),
        ([PANEL, BULB], "the middle of its face, in a bulb its middle"),
    ],
)
def test_where_the_centre_is(lamps: list[dict[str, object]], words: str) -> None:
    assert centre_words(as_placed(None, lamps=lamps).lamps) == words
