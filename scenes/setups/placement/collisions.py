"""Collisions between lamps and cards: where two of them would take up the same room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from materials.arrays import Vector
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.geometry import axes_facing, corners, distance_to_board, unit
from scenes.lamps.lamp import Lamp
from scenes.setups.place import Place

TOUCH_CM = 0.2
GRID = 61  # points a side of a board, and round a ball


@dataclass(frozen=True)
class Body:
    """The volume of a lamp or a card: a flat board, or a ball about its centre."""

    name: str
    at_cm: tuple[float, float, float]
    facing: tuple[float, float, float]
    size_cm: tuple[float, float]
    is_ball: bool = False

    @property
    def radius_cm(self) -> float:
        """Radius of its bounding sphere, cm."""
        return self.size_cm[0] / 2 if self.is_ball else float(np.hypot(*self.size_cm)) / 2

    def points(self) -> Vector:
        """Return points (n, 3) all over it, cm."""
        if self.is_ball:
            turn, rise = np.meshgrid(np.linspace(0, 2 * np.pi, GRID), np.linspace(-np.pi / 2, np.pi / 2, GRID))
            around = [np.cos(rise) * np.cos(turn), np.cos(rise) * np.sin(turn), np.sin(rise)]
            return np.asarray(self.at_cm + np.stack(around, axis=-1).reshape(-1, 3) * self.size_cm[0] / 2)
        steps = np.linspace(-0.5, 0.5, GRID)
        spread = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2) * self.size_cm
        return np.asarray(self.at_cm + spread @ axes_facing(self.facing)[:, :2].T)

    def distance(self, points_cm: Vector) -> Vector:
        """Return the distances (n,) of points (n, 3) from it, cm."""
        if self.is_ball:
            away = np.linalg.norm(points_cm - np.asarray(self.at_cm), axis=1)
            return np.asarray(np.maximum(away - self.size_cm[0] / 2, 0.0))
        return distance_to_board(points_cm, self.at_cm, self.facing, self.size_cm)


def lamp_body(lamp: Lamp, place: Place) -> Body:
    """Return the body of a lamp at its place."""
    x, y, z = (float(v) for v in place.facing)
    extent = lamp.extent_turned(upright=place.upright)
    return Body(f"lamp '{lamp.name}'", place.at_cm, (x, y, z), extent, lamp.model.kind == "bulb")


def card_body(card: PlacedCard) -> Body:
    """Return the body of a card."""
    x, y, z = (float(v) for v in unit(card.facing))
    return Body(f"card '{card.name}'", card.at_cm, (x, y, z), card.size_cm)


def collisions(lamps: Sequence[Body], cards: Sequence[Body]) -> Iterator[str]:
    """Yield a sentence for each collision of two lamps, or of a lamp and a card; cards may touch one another."""
    for one, other in (*combinations(lamps, 2), *((lamp, card) for lamp in lamps for card in cards)):
        if gap_cm(one, other) < TOUCH_CM:
            yield f"{one.name} and {other.name} overlap at {_shown(one.at_cm)} cm; move one clear"


def gap_cm(one: Body, other: Body, enough_cm: float = TOUCH_CM) -> float:
    """Return the distance of two bodies, cm; beyond `enough_cm`, of their bounding spheres."""
    apart = float(np.linalg.norm(np.subtract(one.at_cm, other.at_cm))) - one.radius_cm - other.radius_cm
    if apart >= enough_cm:
        return apart
    if not (one.is_ball or other.is_ball) and (_crosses(one, other) or _crosses(other, one)):
        return 0.0
    return min(float(one.distance(other.points()).min()), float(other.distance(one.points()).min()))


def _crosses(one: Body, other: Body) -> bool:
    """Return whether an edge of one board passes through the other."""
    start = (corners(one.at_cm, one.facing, one.size_cm) - other.at_cm) @ axes_facing(other.facing)
    end = np.roll(start, -1, axis=0)
    over = start[:, 2] * end[:, 2] < 0
    share = np.where(over, start[:, 2] / np.where(over, start[:, 2] - end[:, 2], 1.0), 0.0)[:, None]
    at = np.abs((start + share * (end - start))[:, :2])
    return bool((over & (at <= np.asarray(other.size_cm) / 2).all(axis=1)).any())


def _shown(at_cm: tuple[float, float, float]) -> str:
    return "[" + ", ".join(f"{v:g}" for v in at_cm) + "]"
