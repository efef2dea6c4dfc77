"""Whether a lamp can stand where an answer would put it: above the table, before the wall, clear of model and cards."""

from __future__ import annotations

from typing import Final

import numpy as np

from render.hero_light import HeroLight
from scenes.setups.placed import PlacedSetup
from scenes.setups.placement.collisions import TOUCH_CM, card_body, collisions, lamp_body
from scenes.subject.enclosure import is_enclosed

from .setup_light import distance_cm, moved

STEPS: Final = 60
POINTS: Final = 4000


def obstacle(setup: PlacedSetup, i: int) -> str | None:
    """Return what lamp `i` of a setup would stand in, as "under the table"; None where it stands free."""
    lamp = setup.lamps[i]
    body = lamp_body(lamp.lamp, lamp.place)
    points = body.points()
    if points[:, 2].min() <= 0:
        return "under the table"
    if setup.sweep is not None and setup.sweep.behind(points) > 0:
        return "behind the wall"
    if setup.subject is not None:
        surface = setup.subject.surface_points(POINTS)
        if body.distance(surface).min() < TOUCH_CM or is_enclosed(lamp.place.at_cm, setup.subject):
            return "inside the model"
    others = [lamp_body(other.lamp, other.place) for j, other in enumerate(setup.lamps) if j != i]
    for _ in collisions([body], [card_body(card) for card in setup.cards]):
        return "in a card"
    return "in another lamp" if any(list(collisions([body, other], [])) for other in others) else None


def nearest_free_cm(light: HeroLight, i: int, wanted_cm: float) -> float | None:
    """Return the distance nearest to the one wanted, on the way to where lamp `i` stands now, at which it stands free.

    None where there is none, not even its own.
    """
    tried = np.linspace(wanted_cm, distance_cm(light.setup, i), STEPS)
    return next((float(cm) for cm in tried if obstacle(moved(light, i, float(cm)).setup, i) is None), None)
