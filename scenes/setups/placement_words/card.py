"""A card's place as facts and in words: centre, lean, facing, lower edge, board and size."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from materials.arrays import Vector
from scenes.arrangement.cards.paper_sizes import paper_sizes
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.geometry import axes_facing, round_and_rise
from scenes.lengths import Reading, distance_words, size_words, tape_reading

from .tape import format_degrees, ground_words, height_words

FLAT_DEG: Final = 85.0
"""Facing higher or lower than this, a card lies flat."""
LOW_DEG: Final = 45.0
"""Of a card that leans more, its angle with the table is said too."""
TOWARDS_DEG: Final = 15.0
"""A card that faces within this of a direction is said to face it."""
ON_TABLE_CM: Final = 1.0
"""What is this low is by the table."""

SAME_SIDE_CM: Final = 0.1
"""Sides this near to those of a paper size are called by its name."""


def card_facts(card: PlacedCard, around: str, reading: Reading = tape_reading) -> dict[str, Any]:
    """Return the place of a card; lengths in cm, a positive lean is back.

    `around` is what stands on the centre mark, `the model`.
    """
    at = np.asarray(card.at_cm)
    lower_edge = at - axes_facing(card.facing)[:, 1] * card.size_cm[1] / 2
    round_deg, lean_deg = round_and_rise(card.facing)
    is_flat = abs(lean_deg) > FLAT_DEG
    return {
        "name": card.name,
        "board": card.board,
        "size_cm": list(card.size_cm),
        "at_cm": [round(float(v), 1) + 0.0 for v in at],
        "lean_deg": round(lean_deg, 1) + 0.0,
        "lower_edge_cm": [round(float(v), 1) + 0.0 for v in lower_edge],
        "words": f"{card.name}: {ground_words(card.at_cm, reading)}, "
        f"card centre {height_words(float(at[2]), reading)}, "
        + (
            _flat_words(card)
            if is_flat
            else f"{lean_words(lean_deg)}, {_facing_words(round_deg, card.at_cm, around)}, "
            f"{_edge_words(lower_edge, reading)}"
        )
        + f"; {board_words(card)}",
    }


def board_words(card: PlacedCard) -> str:
    """Return what a card is, after its paper size where it has one: `A4 white paper, 21 cm wide, 29.7 cm high`."""
    sides, (width, height) = sorted(card.size_cm), card.size_cm
    paper = [f"{name} " for name, size in paper_sizes().items() if np.allclose(sides, size, atol=SAME_SIDE_CM)]
    is_flat = abs(round_and_rise(card.facing)[1]) > FLAT_DEG
    up = "deep" if is_flat else "high"
    if not paper:
        return f"{card.board}, {distance_words(width)} wide, {distance_words(height)} {up}"
    return f"{paper[0]}{card.board}, {size_words(width)} wide, {size_words(height)} {up}"


def _flat_words(card: PlacedCard) -> str:
    if card.facing[2] < 0:
        return "level, facing down"
    return "flat on the table" if card.at_cm[2] < ON_TABLE_CM else "level, facing up"


def lean_words(lean_deg: float) -> str:
    """Return how a card leans: `upright`, `leaning back 5 degrees`, `leaning back 81 degrees, 9 degrees from level`."""
    if not round(lean_deg):
        return "upright"
    words = f"leaning {'back' if lean_deg > 0 else 'forward'} {format_degrees(abs(lean_deg))}"
    return words if abs(lean_deg) <= LOW_DEG else f"{words}, {format_degrees(90 - round(abs(lean_deg)))} from level"


def _facing_words(round_deg: float, at_cm: tuple[float, float, float], around: str) -> str:
    """Return what a card faces, seen from above."""
    known = {"the camera": 0.0, "the wall": 180.0, "camera right": 90.0, "camera left": -90.0}
    if np.hypot(*at_cm[:2]) >= ON_TABLE_CM:
        known = {around: round_and_rise((-at_cm[0], -at_cm[1], 0.0))[0], **known}
    for name, direction in known.items():
        if abs((round_deg - direction + 180) % 360 - 180) < TOWARDS_DEG:
            return f"facing {name}"
    return f"facing {format_degrees(abs(round_deg))} from the camera to the {'right' if round_deg > 0 else 'left'}"


def _edge_words(edge_cm: Vector, reading: Reading) -> str:
    height = height_words(float(edge_cm[2]), reading)
    if edge_cm[2] >= ON_TABLE_CM:
        return f"lower edge {height}"
    return f"lower edge {height}{',' if reading(float(edge_cm[2])) else ''} {ground_words(edge_cm, reading)}"
