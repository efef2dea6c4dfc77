"""Ordinates: how far things lie from the centre mark along one axis, written along the edge of a view."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

import numpy as np

from gallery.paper.box import Box
from gallery.paper.text import Lettering
from materials.arrays import Vector

from .spread import spread
from .view import THIN, View

Edge: TypeAlias = Literal["left", "right", "bottom", "top"]
LETTERING: Final = Lettering(10)
PIXEL_CM: Final = 0.05
"""By which letters set on whole pixels may be wider than on paper."""
JOG_CM: Final = 0.35
"""Between the edge of the view and the texts: here lines bend to where their texts are."""
APART_CM: Final = 0.25
"""Between texts in a row."""


@dataclass(frozen=True)
class Ordinate:
    """A distance in words, and the point (2,) of the page that it is of."""

    text: str
    at: Vector
    edge: Edge


def write_ordinates(view: View, ordinates: Sequence[Ordinate], within: Box) -> list[Box]:
    """Draw a line from each point square to its edge, and its text there; return the boxes that are taken.

    Texts beside a view that has some below or above it are hardly higher than the view: none meet at its corners.
    """
    has_rows = any(ordinate.edge in ("bottom", "top") for ordinate in ordinates)
    upright = view.frame.grown(LETTERING.line_cm / 2) if has_rows else within
    taken: list[Box] = []
    for edge in ("left", "right", "bottom", "top"):
        ends = (within.left, within.right) if edge in ("bottom", "top") else (upright.bottom, upright.top)
        taken += _write_edge(view, [o for o in ordinates if o.edge == edge], edge, ends, within)
    return taken


def width_cm(texts: Sequence[str]) -> float:
    """Return how wide texts at the left or right edge of a view stand, with the lines to them, cm."""
    return JOG_CM + max((LETTERING.width_cm(text) for text in texts), default=0.0) + PIXEL_CM


def _write_edge(
    view: View, ordinates: Sequence[Ordinate], edge: Edge, ends: tuple[float, float], within: Box
) -> list[Box]:
    upright = edge in ("left", "right")
    wanted = [float(o.at[1 if upright else 0]) for o in ordinates]
    sizes = [LETTERING.line_cm if upright else LETTERING.width_cm(o.text) + APART_CM for o in ordinates]
    middles = spread(wanted, sizes, *ends)
    if middles is None:
        count = int(np.searchsorted(np.cumsum(sizes), ends[1] - ends[0]))
        return _write_edge(view, _as_many_as_fit(ordinates, count), edge, ends, within)
    return [_write(view, ordinate, float(middle), within) for ordinate, middle in zip(ordinates, middles, strict=True)]


def _as_many_as_fit(ordinates: Sequence[Ordinate], count: int) -> list[Ordinate]:
    """Return the first of some distances, and in place of the last that fits how many more there are."""
    shown, rest = ordinates[: count - 1], ordinates[count - 1 :]
    return [*shown, replace(rest[0], text=f"{len(rest)} more: page 2")] if count > 1 else []


def _write(view: View, ordinate: Ordinate, middle: float, within: Box) -> Box:
    """Draw the line of a distance and its text about the middle that it got along its edge."""
    frame, (x, y) = view.frame, ordinate.at
    width, height = LETTERING.width_cm(ordinate.text), LETTERING.line_cm
    out = -1 if ordinate.edge in ("left", "bottom") else 1
    if ordinate.edge in ("left", "right"):
        edge = frame.left if out < 0 else frame.right
        end = edge + out * JOG_CM
        left = max(end - width, within.left) if out < 0 else min(end, within.right - width)
        top, line = middle + height / 2, [(x, y), (edge, y), (end, middle)]
    else:
        edge = frame.bottom if out < 0 else frame.top
        end = edge + out * JOG_CM
        left, top, line = middle - width / 2, end if out < 0 else end + height, [(x, y), (x, edge), (middle, end)]
    view.page_line(line, THIN)
    LETTERING.write_lines(view.axes, left, top, ordinate.text)
    return Box(left, top - height, left + width, top)


def nearer_edge(at: Vector, frame: Box, one: Edge, other: Edge) -> Edge:
    """Return which of two opposite edges of a view a point (2,) is nearer to."""
    if one in ("left", "right"):
        return one if at[0] - frame.left <= frame.right - at[0] else other
    return one if at[1] - frame.bottom <= frame.top - at[1] else other
