"""Lamps and cards as drawn: their outlines, what lamps aim at, the string to the hero."""

from __future__ import annotations

from typing import Final

import numpy as np

from gallery.diagram.items import Item
from materials.arrays import Vector
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.setups.placement_words.lamp import SAME_POINT_CM, tilt_deg

from .view import DASHED, MIDDLE, THICK, THIN, View

ARROW_SHARE: Final = 0.45
"""Of the line from a lamp to its aim, that has the arrow's head at its end."""
SHORTEST_ARROW_CM: Final = 0.5


def draw_item(view: View, item: Item, setup: PlacedSetup) -> None:
    """Draw a lamp with its aim and its string, or a card."""
    width = THICK if isinstance(item.thing, PlacedLamp) else MIDDLE
    for outline in item.outlines(view.projection):
        view.closed(outline, width, gid=f"{item.mark}")
    if isinstance(item.thing, PlacedLamp):
        _draw_aim(view, item.thing, setup)


def _draw_aim(view: View, lamp: PlacedLamp, setup: PlacedSetup) -> None:
    at, aim, hero = (np.asarray(point, dtype=float) for point in (lamp.place.at_cm, lamp.place.aim_cm, setup.hero_cm))
    is_directed = tilt_deg(lamp) is not None
    if is_directed:
        view.line(at, aim, MIDDLE)
        _draw_arrow(view, at, aim)
    if not is_directed or np.linalg.norm(aim - hero) >= SAME_POINT_CM:
        view.line(at, hero, THIN, linestyle=DASHED)


def _draw_arrow(view: View, at: Vector, aim: Vector) -> None:
    """Draw the head of an arrow on the line from a lamp to its aim, where that is long enough on the page."""
    start = view.on_page([at])[0]
    ends = [end for piece in view.pieces(at, aim) for end in (piece, piece[::-1]) if np.allclose(end[0], start)]
    if ends and np.linalg.norm(ARROW_SHARE * (ends[0][1] - start)) > SHORTEST_ARROW_CM:
        view.arrow(start, start + ARROW_SHARE * (ends[0][1] - start))
