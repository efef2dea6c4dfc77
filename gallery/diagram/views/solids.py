"""True shapes of lamps and cards as outlines in the table frame, cm."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.arrays import Vector
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.geometry import axes_facing, corners
from scenes.setups.placed import PlacedLamp

ROUND_POINTS: Final = 72


def lamp_outlines(lamp: PlacedLamp, sight: Vector) -> list[Vector]:
    """Return the closed outlines (n, 3) of a lamp's luminous opening, cm: two of a ring, else one.

    A bulb's is its circle about the line of sight (3,).
    """
    place = lamp.place
    opening = lamp.lamp.emitter(np.asarray(place.at_cm), place.facing, upright=place.upright)
    if opening.kind == "panel":
        half = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * opening.half
        return [opening.at + half @ opening.axes[:, :2].T]
    axes = axes_facing(sight) if opening.kind == "bulb" else opening.axes
    radii = opening.half if opening.kind == "ring" else opening.half[:1]
    return [opening.at + radius * _circle() @ axes[:, :2].T for radius in radii if radius > 0]


def card_outline(card: PlacedCard) -> Vector:
    """Return the corners (4, 3) of a card, cm."""
    return corners(card.at_cm, card.facing, card.size_cm)


def _circle() -> Vector:
    turn = np.linspace(0, 2 * np.pi, ROUND_POINTS, endpoint=False)
    return np.column_stack([np.cos(turn), np.sin(turn)])
