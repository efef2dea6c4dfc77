"""Whether the lamps of a setup reach the hero: turned away, and cards in between, before anything is traced."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from materials.arrays import Vector
from render.description.lit_emitter import emitter_shape
from render.description.scene import Meter
from render.readings.receptors import receptors_of
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.geometry import axes_facing
from scenes.lamps.direct_light import direct_factor
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.units import M_PER_CM

BLOCKED_SHARE: Final = 0.98
"""Of the lines to a lamp's face that a card crosses."""
GRID: Final = 7
AIMED_DEG: Final = 45.0


def unlit_warnings(setup: PlacedSetup) -> list[str]:
    """Return a sentence where no lamp lights the hero; else one for each card between a lamp and the hero."""
    reasons = unlit_reasons(setup)
    if all(reasons):
        return [f"{setup.name}: no lamp lights the hero: {'; '.join(filter(None, reasons))}"]
    return [f"{setup.name}: {reason}" for reason in reasons if reason and reason.startswith("the card")]


def unlit_reasons(setup: PlacedSetup) -> list[str | None]:
    """Return of each lamp why it gives the hero no direct light; None where it gives some."""
    return [
        unlit_reason(lamp, receptor, setup.cards) if lamp.dimmer > 0 else f"the {lamp.role} ({lamp.name}) is off"
        for lamp, receptor in zip(setup.lamps, receptors_of(setup), strict=False)
    ]


def unlit_reason(lamp: PlacedLamp, receptor: Meter, cards: Sequence[PlacedCard]) -> str | None:
    """Return why a lamp gives the receptor that faces it no direct light; None where it gives some."""
    shape = emitter_shape(lamp)
    if shape.kind == "bulb" and np.linalg.norm(receptor.at - shape.at) < shape.half[0]:
        return f"the hero lies inside the {lamp.role} ({lamp.name})"
    if direct_factor(shape, receptor.at, receptor.axes[:, 2])[0] <= 0:
        return f"the {lamp.role} ({lamp.name}) is turned away from the hero"
    face = (shape.at + _face_points(shape.half) @ shape.axes[:, :2].T) / M_PER_CM
    for card in cards if _aims_at(lamp, receptor) else ():
        blocked = _crossed(card, receptor.at / M_PER_CM, face).mean()
        if card.finish.kind != "diffuser" and blocked >= BLOCKED_SHARE:
            return f"the card '{card.name}' stands between the {lamp.role} and the hero"
    return None


def _aims_at(lamp: PlacedLamp, receptor: Meter) -> bool:
    """Return whether a lamp points roughly at a receptor that faces it, and not at the wall or the table beside it."""
    return float(-lamp.place.facing @ receptor.axes[:, 2]) > math.cos(math.radians(AIMED_DEG))


def _face_points(half: tuple[float, float]) -> Vector:
    steps = np.linspace(-0.9, 0.9, GRID)
    return np.asarray(np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2) * (half[0], half[1] or half[0]))


def _crossed(card: PlacedCard, start_cm: Vector, ends_cm: Vector) -> Vector:
    """Return which of the lines from a point (3,) to others (n, 3) cross a card, (n,)."""
    axes = axes_facing(card.facing)
    start, ends = (start_cm - card.at_cm) @ axes, (ends_cm - card.at_cm) @ axes
    opposite = start[2] * ends[:, 2] < 0
    share = start[2] / np.where(opposite, start[2] - ends[:, 2], 1.0)
    at = np.abs(start[:2] + share[:, None] * (ends[:, :2] - start[:2]))
    return np.asarray(opposite & (at <= np.asarray(card.size_cm) / 2).all(axis=1))
