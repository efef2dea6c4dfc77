"""How much of a setup's sheet is drawn: of one that reaches far beyond all else, not all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from gallery.diagram.items import items_of
from materials.arrays import Vector
from scenes.setups.placed import PlacedSetup

from .projection import Projection

MUCH: Final = 1.4
"""How many times as far as all else a sheet has to reach not to be drawn to its edge."""
BEYOND: Final = 1.1
"""How many times as far it is drawn then."""


@dataclass(frozen=True)
class DrawnSheet:
    """How far to both sides and how high a sheet is drawn, cm, and whether it reaches farther."""

    half_cm: float
    height_cm: float
    is_wider: bool
    is_higher: bool


def drawn_sheet(setup: PlacedSetup) -> DrawnSheet | None:
    """Return how much of a setup's sheet is drawn; None without one."""
    sweep, seen = setup.sweep, setup.view
    if sweep is None:
        return None
    others = np.concatenate([np.array([seen.at_cm, setup.hero_cm]), *_bodies(setup), *_model(setup)])
    away = sweep.wall_cm - seen.at_cm[1]
    ways = seen.rays(np.array([1.0, 0.0]), np.array([0.0, 1.0]))
    at_wall = seen.at_cm + away / ways[:, 1:2] * ways
    across = max(float(np.abs(others[:, 0]).max()), float(at_wall[0, 0]))
    up = max(float(others[:, 2].max()), float(at_wall[1, 2]), sweep.radius_cm)
    is_wider, is_higher = sweep.width_cm / 2 > MUCH * across, sweep.height_cm > MUCH * up
    half = BEYOND * across if is_wider else sweep.width_cm / 2
    return DrawnSheet(half, BEYOND * up if is_higher else sweep.height_cm, is_wider, is_higher)


def _bodies(setup: PlacedSetup) -> list[Vector]:
    return [outline for item in items_of(setup) for outline in item.outlines(Projection("above"))]


def _model(setup: PlacedSetup) -> list[Vector]:
    return [] if setup.subject is None else [setup.subject.bounds_cm]
