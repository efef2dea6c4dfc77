"""What a lamp or card has to keep clear of, and what is asked of it there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from materials.arrays import Vector
from scenes.arrangement.arrangement import RoomModel
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.setups.place import Stage
from scenes.setups.placed import PlacedSetup
from scenes.subject.subject import Part, Subject

from .collisions import Body, card_body, lamp_body

SIDES: Final = {
    "left": (-1.0, 0.0, 0.0), "right": (1.0, 0.0, 0.0), "behind": (0.0, 1.0, 0.0), "front": (0.0, -1.0, 0.0),
    "above": (0.0, 0.0, 1.0),
}  # fmt: skip
"""The sides of the room, from the centre mark."""
UPWARDS: Final = np.tile(np.array([0, 0, 1], np.float32), (3, 1))
CENTRE_MARK: Final = Subject(
    "centre mark", (Part("mark", 0.1 * np.eye(3, dtype=np.float32), UPWARDS, np.array([[0, 1, 2]], np.int32)),)
)
"""The subject of an empty table: 1 mm large."""


@dataclass(frozen=True, eq=False)
class Surroundings:
    """The surroundings of one lamp or card.

    Parameters
    ----------
    stage
        Subject, camera and backdrop.
    room
        The room, which may be limited.
    lamps, cards
        Bodies that it must not touch.
    screens
        Opaque cards that may stand between a lamp and the hero.
    lit_from : (n, 3)
        Centres of lamps that a card must not hide from the hero, cm.
    clearance_cm
        The least distance from the model.
    nearest_cm
        The least distance from the model that a lamp's label asks for.
    hidden
        Whether it may stand in the frame where the subject hides it.
    """

    stage: Stage
    room: RoomModel
    lamps: tuple[Body, ...] = ()
    cards: tuple[Body, ...] = ()
    screens: tuple[Body, ...] = ()
    lit_from: tuple[tuple[float, float, float], ...] = ()
    clearance_cm: float = 0.0
    nearest_cm: float = 0.0
    hidden: bool = False

    def room_limits(self) -> tuple[Vector, Vector]:
        """Return unit vectors (k, 3) to the sides of the room that are limited, and their distances (k,), cm."""
        stated = self.room.clear_cm.model_dump(exclude_none=True)
        directions = np.array([SIDES[side] for side in stated]).reshape(-1, 3)
        return directions, np.array(list(stated.values()), float)


def surroundings_of(
    stage: Stage, room: RoomModel, cards: Sequence[PlacedCard], *, nearest_cm: float = 0.0
) -> Surroundings:
    """Return the surroundings on a stage with cards, of which those that pass light block none."""
    bodies = [card_body(card) for card in cards]
    screens = [body for body, card in zip(bodies, cards, strict=True) if card.finish.kind != "diffuser"]
    return Surroundings(stage, room, cards=tuple(bodies), screens=tuple(screens), nearest_cm=nearest_cm)


def surroundings_of_lamp(setup: PlacedSetup, i: int, room: RoomModel) -> Surroundings:
    """Return the surroundings of lamp `i` of a placed setup: everything else of it."""
    subject, lamp = setup.subject or CENTRE_MARK, setup.lamps[i]
    stage = Stage(subject, setup.view, setup.sweep, setup.facing_deg, setup.hero_cm, setup.kind)
    others = tuple(lamp_body(other.lamp, other.place) for j, other in enumerate(setup.lamps) if j != i)
    around = surroundings_of(stage, room, setup.cards, nearest_cm=lamp.lamp.model.nearest_cm or 0.0)
    return replace(around, lamps=others, hidden=lamp.hidden)
