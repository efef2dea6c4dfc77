"""Lengths and directions on the mat."""

from __future__ import annotations

from scenes.lengths import Reading, half_cm
from scenes.setups.placement_words.tape import format_degrees
from scenes.setups.placement_words.tape import height_words as height_in_words


def length_words(cm: float, reading: Reading = half_cm) -> str:
    """Return a length: `43.5 cm`."""
    return f"{reading(cm):g} cm"


def height_words(z_cm: float, reading: Reading = half_cm) -> str:
    """Return a height over the table: `43.5 cm up`, `on the table`, `5 cm below the table's surface`."""
    return height_in_words(z_cm, reading)


def bearing_words(round_deg: float, seen_from: str) -> str:
    """Return a direction from above: `seen from the hero 61 degrees left of the camera's line`."""
    turn = round((round_deg + 180) % 360 - 180)
    if abs(turn) in (0, 180):
        return f"straight {'in front of' if turn == 0 else 'behind'} {seen_from}, parallel to the camera's line"
    side = "right" if turn > 0 else "left"
    return f"seen from {seen_from} {format_degrees(abs(turn))} {side} of the camera's line"
