"""How large a setup is drawn: a scale at which plan and side view fit on a page, with a stretch left out if need be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Final

import numpy as np

from gallery.diagram.items import items_of
from gallery.paper.box import Box
from materials.arrays import Vector
from scenes.setups.placed import PlacedLamp, PlacedSetup

from .projection import Gap, Projection, Side
from .sheet import drawn_sheet

MANTISSAS: Final = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8)
"""Of scales 1 to so much, and of ten times as much, and so on."""
KEPT_CM: Final = 1.0
"""On paper, of an empty stretch, at both of its ends."""
WORTH_A_GAP: Final = 1.25
"""How much larger the drawing has to become for a stretch to be left out."""


@dataclass(frozen=True)
class Layout:
    """The views of a setup and their common scale, 1 to `scale`."""

    plan: Projection
    side: Projection
    scale: float


def layout_of(setup: PlacedSetup, room_cm: tuple[float, float], bands_cm: tuple[float, float]) -> Layout:
    """Return the largest layout of which plan and side view, one above the other, take no more than `room_cm`.

    `room_cm` is width and height on paper without what stands round the views; `bands_cm` the width of what stands on
    both sides of the plan, and of the side view.
    """
    side = clearest_side(setup)
    things: dict[Side, list[Vector]] = {
        from_where: list(_points(setup, Projection(from_where))) for from_where in ("above", side)
    }
    whole = _layout(things, side, room_cm, bands_cm, with_gap=False)
    broken = _layout(things, side, room_cm, bands_cm, with_gap=True)
    return broken if whole.scale >= WORTH_A_GAP * broken.scale else whole


def clearest_side(setup: PlacedSetup) -> Side:
    """Return the side on which more of the lamps stand: from there the model and the cards hide none of them."""
    across = [np.sign(round(lamp.place.at_cm[0], 1)) for lamp in setup.lamps]
    return "camera right" if sum(across) >= 0 else "camera left"


def extent_of(setup: PlacedSetup, projection: Projection) -> Box:
    """Return the rectangle of the drawing, in cm of the table, that everything of a setup lies in."""
    return _extent(list(_points(setup, projection)), projection)


def _extent(things: Sequence[Vector], projection: Projection) -> Box:
    flat = projection.flat(np.concatenate(things))
    (left, bottom), (right, top) = flat.min(axis=0), flat.max(axis=0)
    return Box(float(left), float(bottom), float(right), float(top))


def _layout(
    things: Mapping[Side, Sequence[Vector]], side: Side, room_cm: tuple[float, float], bands_cm: tuple[float, float],
    *, with_gap: bool,
) -> Layout:  # fmt: skip
    """Return the largest layout of things, each of points (n, 3), as they are seen from above and from a side."""
    for scale in scales():
        gap = _gap(things["above"], scale) if with_gap else None
        layout = Layout(Projection("above", gap), Projection(side, gap), scale)
        plan, elevation = _extent(things["above"], layout.plan), _extent(things[side], layout.side)
        wide = max(plan.width / scale + bands_cm[0], elevation.width / scale + bands_cm[1])
        if wide <= room_cm[0] and (plan.height + elevation.height) / scale <= room_cm[1]:
            return layout
    raise AssertionError("scales have no end")


def scales() -> Iterator[float]:
    """Return the scales of drawings, the largest first: 1, 1.5, 2, ... 8, 10, 15, ..."""
    return (mantissa * 10.0**power for power in count() for mantissa in MANTISSAS)


def _gap(things: Sequence[Vector], scale: float) -> Gap | None:
    """Return the middle of the longest stretch of the y axis in which nothing stands, if it is worth leaving out."""
    spans = sorted((float(points[:, 1].min()), float(points[:, 1].max())) for points in things)
    longest, reached = (0.0, 0.0), spans[0][1]
    for start, end in spans[1:]:
        if start - reached > longest[1] - longest[0]:
            longest = (reached, start)
        reached = max(reached, end)
    gap = Gap(longest[0] + KEPT_CM * scale, longest[1] - KEPT_CM * scale)
    return gap if gap.length_cm > KEPT_CM * scale else None


def _points(setup: PlacedSetup, projection: Projection) -> Iterator[Vector]:
    """Yield the points (n, 3) of each thing that is drawn, cm."""
    yield np.array([setup.view.at_cm])
    yield np.array([setup.hero_cm, (0.0, 0.0, 0.0)])
    if setup.subject is not None:
        low, high = setup.subject.bounds_cm
        yield np.array([low, high])
    if setup.sweep is not None:
        yield _sheet_corners(setup)
    for item in items_of(setup):
        yield np.concatenate(item.outlines(projection))
        if isinstance(item.thing, PlacedLamp):
            yield np.array([item.thing.place.aim_cm])


def _sheet_corners(setup: PlacedSetup) -> Vector:
    """Return the corners (8, 3) of the box that the drawn part of a setup's sheet lies in, cm; none without one."""
    sweep, drawn = setup.sweep, drawn_sheet(setup)
    if sweep is None or drawn is None:
        return np.zeros((0, 3))
    sides = ((-drawn.half_cm, drawn.half_cm), (-sweep.front_cm, sweep.wall_cm), (0.0, drawn.height_cm))
    return np.stack(np.meshgrid(*sides), axis=-1).reshape(-1, 3)
