"""Ordinates: how far things lie from the centre mark along one axis, written along the edge of a view."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from gallery.paper.box import Box
from gallery.paper.text import Lettering
from materials.arrays import Vector

from .spread import spread
from .view import THIN, View

Edge: TypeAlias = Literal["left", "right", "bottom", "top"]
LETTERING: Final = Lettering(9.0)
JOG_CM: Final = 0.35
"""Between the edge of the view and the texts: here lines bend to where their texts are."""
PITCH: Final = 1.05
"""Of a text's height, from one text to the next."""
APART_CM: Final = 0.25
"""Between texts in a row."""


@dataclass(frozen=True)
class Ordinate:
    """A distance in words, and the point (2,) of the page that it is of."""

    text: str
    at: Vector
    edge: Edge


def write_ordinates(view: View, ordinates: Sequence[Ordinate], within: Box) -> list[Box]:
    """Draw a line from each point square to its edge, and its text there; return the boxes that are taken."""
    taken: list[Box] = []
    for edge in ("left", "right", "bottom", "top"):
        taken += _write_edge(view, [o for o in ordinates if o.edge == edge], edge, within)
    return taken


def width_cm(texts: Sequence[str]) -> float:
    """Return how wide texts at the left or right edge of a view stand, with the lines to them, cm."""
    return JOG_CM + max((LETTERING.width_cm(text) for text in texts), default=0.0)


def _write_edge(view: View, ordinates: Sequence[Ordinate], edge: Edge, within: Box) -> list[Box]:
    upright = edge in ("left", "right")
    high = PITCH * LETTERING.line_cm
    wanted = [float(o.at[1 if upright else 0]) for o in ordinates]
    sizes = [high if upright else LETTERING.width_cm(o.text) + APART_CM for o in ordinates]
    ends = (within.bottom, within.top) if upright else (within.left, within.right)
    middles, turned = spread(wanted, sizes, *ends), False
    if middles is None:
        middles, turned = spread(wanted, [high] * len(ordinates), *ends), not upright
    if middles is None:
        raise RuntimeError(f"no room for {len(ordinates)} distances along the {edge} edge")
    return [
        _write(view, ordinate, float(middle), turned=turned)
        for ordinate, middle in zip(ordinates, middles, strict=True)
    ]


def _write(view: View, ordinate: Ordinate, middle: float, *, turned: bool) -> Box:
    frame, (x, y) = view.frame, ordinate.at
    width, height = LETTERING.width_cm(ordinate.text), LETTERING.line_cm
    match ordinate.edge:
        case "left" | "right":
            out = -1 if ordinate.edge == "left" else 1
            edge = frame.left if ordinate.edge == "left" else frame.right
            end = edge + out * JOG_CM
            view.page_line([(x, y), (edge, y), (end, middle)], THIN)
            left = end - width if out < 0 else end
            LETTERING.write_lines(view.axes, left, middle + height / 2, ordinate.text)
            return Box(left, middle - height / 2, left + width, middle + height / 2)
        case _:
            out = -1 if ordinate.edge == "bottom" else 1
            edge = frame.bottom if ordinate.edge == "bottom" else frame.top
            end = edge + out * JOG_CM
            view.page_line([(x, y), (x, edge), (middle, end)], THIN)
            across, up = (height, width) if turned else (width, height)
            top = end if out < 0 else end + up
            if turned:
                LETTERING.write(view.axes, middle, top - up / 2, ordinate.text, rotation=90, ha="center", va="center")
            else:
                LETTERING.write_lines(view.axes, middle - width / 2, top, ordinate.text)
            return Box(middle - across / 2, top - up, middle + across / 2, top)


def nearer_edge(at: Vector, frame: Box, one: Edge, other: Edge) -> Edge:
    """Return which of two opposite edges of a view a point (2,) is nearer to."""
    if one in ("left", "right"):
        return one if at[0] - frame.left <= frame.right - at[0] else other
    return one if at[1] - frame.bottom <= frame.top - at[1] else other
