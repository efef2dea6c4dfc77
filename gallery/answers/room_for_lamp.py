"""Whether a lamp can stand where an answer would put it, by the constraints that setups are placed by."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from render.hero_light import HeroLight
from scenes.arrangement.arrangement import RoomModel
from scenes.setups.placement.bodies import bodies_of
from scenes.setups.placement.collisions import lamp_body
from scenes.setups.placement.constraints import CONSTRAINTS, Constraint
from scenes.setups.placement.surroundings import surroundings_of_lamp

from .setup_light import distance_cm, place_at

STEPS: Final = 60


def obstacle(light: HeroLight, i: int, at_cm: float, room: RoomModel) -> Constraint | None:
    """Return the first constraint that lamp `i` breaks at a distance from the hero; None where it meets all."""
    broken = _broken(light, i, [at_cm], room)[:, 0]
    return CONSTRAINTS[int(np.argmax(broken))] if broken.any() else None


def nearest_free_cm(light: HeroLight, i: int, wanted_cm: float, room: RoomModel) -> float | None:
    """Return the distance nearest to the one wanted, on the way to where lamp `i` stands now, at which it has room.

    None where there is none, not even its own.
    """
    tried = np.linspace(wanted_cm, distance_cm(light.setup, i), STEPS)
    free = np.flatnonzero(~_broken(light, i, tried.tolist(), room).any(axis=0))
    return float(tried[free[0]]) if len(free) else None


def _broken(light: HeroLight, i: int, distances_cm: Sequence[float], room: RoomModel) -> NDArray[np.bool_]:
    """Return which constraints lamp `i` breaks at each distance, (constraints, distances)."""
    lamp, around = light.setup.lamps[i].lamp, surroundings_of_lamp(light.setup, i, room)
    bodies = bodies_of(*(lamp_body(lamp, place_at(light.setup, i, cm)) for cm in distances_cm))
    return np.array([constraint.margin(bodies, around) < 0 for constraint in CONSTRAINTS])
