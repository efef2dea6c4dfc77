"""Names beside what they name: each where it covers no other text and crosses the fewest lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from gallery.paper.box import Box
from gallery.paper.text import Lettering
from materials.arrays import Vector

from .view import THIN, View

LETTERING: Final = Lettering(10)
AWAY_CM: Final = (0.25, 0.5, 0.8, 1.2, 1.7, 2.3, 3.0, 4.0, 5.5, 7.5, 10.0)
"""From an anchor to its label, tried in this order."""
WAYS: Final = 16
"""Directions in which a label is tried."""
CROSSED_CM: Final = 2.0
"""How much farther a label may be for each line that it crosses less."""
ACROSS_CM: Final = 6.0
"""How much farther a label may be so that the line to it runs through no other text."""
MISTAKEN_CM: Final = 3.0
"""How much farther a label may be so as not to be nearer to what another names."""
CLEAR_CM: Final = 0.06
"""Between texts."""
BLANK: Final = {"facecolor": "white", "edgecolor": "none", "pad": 0.5}
"""Behind a text, so that lines end at it."""
LEADER_CM: Final = 0.3
"""From this distance on a line leads to the label."""


@dataclass(frozen=True)
class Label:
    """A text of one or more lines, the point (2,) of the page that it names, and a shorter text for a crowded place."""

    text: str
    anchor: Vector
    lettering: Lettering = LETTERING
    short: str | None = None


def write_labels(view: View, labels: Sequence[Label], within: Box, taken: Sequence[Box]) -> list[Box]:
    """Write labels inside a box and clear of boxes that are taken; return all boxes that are taken then.

    A label for which there is no room at all is left out.
    """
    taken = list(taken)
    view.anchors += [label.anchor for label in labels]
    for label in labels:
        for text in filter(None, (label.text, label.short)):
            box = _best(view, label, text, within, taken)
            if box is not None:
                _leader(view, label.anchor, box)
                label.lettering.write_lines(view.axes, box.left, box.top, text, bbox=BLANK)
                taken.append(box)
                break
    return taken


def _best(view: View, label: Label, text: str, within: Box, taken: Sequence[Box]) -> Box | None:
    """Return the best box for a text of a label; None where none is free."""
    width, height = label.lettering.size_cm(text)
    best: Box | None = None
    least = np.inf
    lines, anchors = np.array(view.lines), np.array(view.anchors)
    for away, box in _candidates(label.anchor, width, height):
        if away >= least:
            break
        grown = box.grown(CLEAR_CM)
        if within.holds(box) and not any(grown.overlaps(other) for other in taken):
            cost = away + CROSSED_CM * crossings(box, lines) + MISTAKEN_CM * _is_mistaken(box, label.anchor, anchors)
            if cost < least:
                cost += ACROSS_CM * _leads_across(label.anchor, box, taken)
            best, least = (box, cost) if cost < least else (best, least)
    return best


def _candidates(anchor: Vector, width: float, height: float) -> Iterator[tuple[float, Box]]:
    """Yield boxes round a point and how far each is from it, the nearest first."""
    for away in AWAY_CM:
        for turn in np.arange(WAYS) * 2 * np.pi / WAYS:
            x, y = anchor + away * np.array([np.cos(turn), np.sin(turn)])
            left = x - width / 2 * (1 - np.clip(1.6 * np.cos(turn), -1, 1))
            bottom = y - height / 2 * (1 - np.clip(1.6 * np.sin(turn), -1, 1))
            yield away, Box(float(left), float(bottom), float(left + width), float(bottom + height))


def crossings(box: Box, lines: Vector) -> int:
    """Return how many of straight lines (n, 2, 2) have a point in a box: Liang and Barsky's clipping."""
    if not len(lines):
        return 0
    start, along = lines[:, 0], lines[:, 1] - lines[:, 0]
    low, high = np.array([box.left, box.bottom]), np.array([box.right, box.top])
    with np.errstate(divide="ignore", invalid="ignore"):
        one, other = (low - start) / along, (high - start) / along
    still = along == 0
    outside = (still & ((start < low) | (start > high))).any(axis=1)
    enter = np.where(still, -np.inf, np.minimum(one, other)).max(axis=1)
    leave = np.where(still, np.inf, np.maximum(one, other)).min(axis=1)
    return int((~outside & (np.maximum(enter, 0.0) <= np.minimum(leave, 1.0))).sum())


def _is_mistaken(box: Box, anchor: Vector, anchors: Vector) -> bool:
    """Return whether a box is nearer to another of all anchors (n, 2) than to its own."""
    away, own = (np.linalg.norm(_nearest(box, points) - points, axis=-1) for points in (anchors, anchor))
    return bool((away < own - 1e-9).any())


def _leads_across(anchor: Vector, box: Box, taken: Sequence[Box]) -> bool:
    """Return whether the line from an anchor to its box would run through boxes that do not lie round the anchor."""
    leader = np.array([[anchor, _nearest(box, anchor)]])
    here = Box(*anchor, *anchor)
    return any(crossings(other, leader) for other in taken if not other.grown(CLEAR_CM).holds(here))


def _nearest(box: Box, points: Vector) -> Vector:
    """Return the points of a box that are nearest to points (n, 2)."""
    return np.clip(points, (box.left, box.bottom), (box.right, box.top))


def _leader(view: View, anchor: Vector, box: Box) -> None:
    """Draw a thin line from an anchor to its label, where that is not beside it."""
    end = _nearest(box, anchor)
    if np.linalg.norm(end - anchor) > LEADER_CM:
        view.page_line([anchor, end], THIN)
