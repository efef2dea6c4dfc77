"""The distances that a drawing gives: from the centre mark to the sides, along the table, and up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from gallery.diagram.items import items_of
from gallery.diagram.measures import across_words, along_words, reading_of, up_words
from materials.arrays import Vector
from scenes.setups.placed import PlacedSetup

from .sheet import drawn_sheet

Axis = Literal["across", "along", "up"]


@dataclass(frozen=True)
class Distance:
    """A distance along one axis of the table in words, and the point, cm, that it is of.

    `is_of_stage` says whether that is the sheet's, the lens's or the hero's, and no lamp's or card's.
    """

    words: str
    at_cm: tuple[float, float, float]
    axis: Axis
    is_of_stage: bool = False


def plan_distances(setup: PlacedSetup) -> list[Distance]:
    """Return what the plan gives: where sheet and lens, lamps and cards lie on the table."""
    lens, sweep, drawn, reading = setup.view.at_cm, setup.sweep, drawn_sheet(setup), reading_of(setup)
    found = [Distance(f"lens {along_words(lens[1], reading)}", lens, "along", is_of_stage=True)]
    if sweep is not None and drawn is not None:
        bend = sweep.wall_cm - sweep.radius_cm
        for name, y in (("wall", sweep.wall_cm), ("bend from", bend), ("sheet from", -sweep.front_cm)):
            edge = (-drawn.half_cm, y, 0.0)
            found.append(Distance(f"{name} {along_words(y, reading)}", edge, "along", is_of_stage=True))
    for item in items_of(setup):
        x, y, z = map(float, item.at_cm)
        found.append(Distance(f"{item.mark}: {across_words(x, reading)}", (x, y, z), "across"))
        found.append(Distance(f"{item.mark}: {along_words(y, reading)}", (x, y, z), "along"))
    return found


def side_distances(setup: PlacedSetup) -> list[Distance]:
    """Return what the side view gives: how high lens and hero, lamps and cards are."""
    reading = reading_of(setup)
    points: list[tuple[str, Sequence[float] | Vector]] = [("lens", setup.view.at_cm)]
    if setup.subject is not None:
        points.append(("hero", setup.hero_cm))
    points += [(f"{item.mark}:", item.at_cm) for item in items_of(setup)]
    return [
        Distance(f"{name} {up_words(float(z), reading)}", (float(x), float(y), float(z)), "up")
        for name, (x, y, z) in points
    ]
