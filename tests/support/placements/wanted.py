"""What a setup's file asks for, as a direction at what it aims at: by its own arithmetic."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.arrays import Array
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.setups.setup import SetupCard, SetupLamp, load_setup

from .bodies import card_body
from .rays import are_crossed

FAR_CM: Final = 1000.0
WITH_A_FACE: Final = ("figure", "bust")
ROUNDED_CM: Final = 0.05 * np.sqrt(3)
"""The most that rounding to a millimetre moves a point."""


def wanted_things(setup: str) -> list[SetupLamp | SetupCard]:
    """Return the lamps and cards of a setup and of its alternatives."""
    loaded = load_setup(setup)
    wanted: list[SetupLamp | SetupCard] = [*loaded.lamps, *loaded.cards]
    for other in loaded.alternatives:
        wanted += [*other.lamps, *(other.cards or ())]
    return wanted


def off_deg(placed: PlacedSetup, lamp: PlacedLamp, faces_deg: float) -> float:
    """Return the angle in degrees at its aim between a lamp and the nearest place that its setup names for its role.

    Less what the rounding of its place to a millimetre may turn it by.
    """
    places = [wanted for wanted in wanted_things(placed.name) if wanted.role == lamp.role]
    return min(_angle(placed, lamp, wanted, faces_deg) for wanted in places)


def card_off_deg(placed: PlacedSetup, card: PlacedCard, faces_deg: float) -> float:
    """Return the angle in degrees at its aim between the nearest part of a card and the place that its setup names."""
    body = card_body(card)
    angles = []
    for wanted in (wanted for wanted in wanted_things(placed.name) if wanted.role == card.name):
        asked, aim = _asked(placed, wanted, faces_deg), _aim(placed, wanted)
        met = are_crossed(aim[None], aim + FAR_CM * asked, body.triangles)[0]
        angles.append(0.0 if met else float(np.degrees(_turns(body.points - aim, asked).min())))
    return min(angles)


def _angle(placed: PlacedSetup, lamp: PlacedLamp, wanted: SetupLamp | SetupCard, faces_deg: float) -> float:
    aim = _untilted(lamp, wanted.tilt_deg) if wanted.aim == "sheet" else _aim(placed, wanted)
    actual = np.asarray(lamp.place.at_cm) - aim
    off = _turns(actual, _asked(placed, wanted, faces_deg))
    return float(np.degrees(max(0.0, off - ROUNDED_CM / np.linalg.norm(actual))))


def _turns(actual: Array, asked: Array) -> Array:
    """Return the angles between vectors (..., 3) and a unit vector, radians."""
    return np.asarray(np.arccos(np.clip(actual @ asked / np.linalg.norm(actual, axis=-1), -1, 1)))


def _asked(placed: PlacedSetup, wanted: SetupLamp | SetupCard, faces_deg: float) -> Array:
    turn, rise = np.radians([_round_deg(placed, wanted, faces_deg), wanted.rise_deg])
    return np.array([np.sin(turn) * np.cos(rise), -np.cos(turn) * np.cos(rise), np.sin(rise)])


def _round_deg(placed: PlacedSetup, wanted: SetupLamp | SetupCard, faces_deg: float) -> float:
    """Return the direction asked for, from the camera: a face carries its lamps along, what has none does not."""
    turn = load_setup(placed.name).turn_deg
    if placed.kind in WITH_A_FACE:
        mirrored, base = bool(turn) and faces_deg < 0, (turn or abs(faces_deg)) * (-1 if faces_deg < 0 else 1)
    else:
        mirrored, base = faces_deg < 0, -turn if faces_deg < 0 else turn
    side = -wanted.round_deg if mirrored else wanted.round_deg
    return side if wanted.from_camera else base + side


def _aim(placed: PlacedSetup, wanted: SetupLamp | SetupCard) -> Array:
    assert placed.subject is not None
    corners = np.concatenate([part.vertices_cm for part in placed.subject.parts]).astype(float)
    low, high = corners.min(axis=0), corners.max(axis=0)
    match wanted.aim:
        case "hero":
            return np.asarray(placed.hero_cm, float)
        case "middle":
            return np.asarray((low + high) / 2)
        case "base":
            return np.array([0.0, 0.0, low[2]])
        case aim:
            raise ValueError(f"{aim} is no point of the model")


def _untilted(lamp: PlacedLamp, tilt_deg: float) -> Array:
    """Return the point that a lamp would aim at without the tilt that its setup gives it."""
    at, aim = np.asarray(lamp.place.at_cm, float), np.asarray(lamp.place.aim_cm, float)
    x, y, z = aim - at
    level, rise = np.hypot(x, y), np.arctan2(z, np.hypot(x, y)) - np.radians(tilt_deg)
    away = np.hypot(level, z)
    return np.asarray(at + away * np.array([x / level * np.cos(rise), y / level * np.cos(rise), np.sin(rise)]))
