"""Lengths and directions on the mat, to half a centimetre and a degree."""

from __future__ import annotations

from scenes.lengths import half_cm
from scenes.setups.placement_words.tape import format_degrees
from scenes.setups.placement_words.tape import height_words as height_in_words


def length_words(cm: float) -> str:
    """Return a length: `43.5 cm`."""
    return f"{half_cm(cm):g} cm"


def height_words(z_cm: float) -> str:
    """Return a height over the table: `43.5 cm up`, `on the table`, `5 cm below the table's surface`."""
    return height_in_words(z_cm, half_cm)


def bearing_words(round_deg: float) -> str:
    """Return a direction from above: `61 degrees left of the camera's line`, `on the camera's line`."""
    turn = round((round_deg + 180) % 360 - 180)
    if abs(turn) in (0, 180):
        return "on the camera's line" if turn == 0 else "straight away from the camera"
    return f"{format_degrees(abs(turn))} {'right' if turn > 0 else 'left'} of the camera's line"
