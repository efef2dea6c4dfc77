"""Distances and angles in the few characters that a drawing has room for, to half a centimetre."""

from __future__ import annotations

import math

from scenes.geometry import round_and_rise
from scenes.lengths import half_cm
from scenes.setups.placed import PlacedSetup
from scenes.setups.placement_words.lamp import SAME_POINT_CM


def across_words(x_cm: float) -> str:
    """Return a distance to the side of the centre mark: `24.5 left`, `0`."""
    return _signed(x_cm, "right", "left")


def along_words(y_cm: float) -> str:
    """Return a distance before or behind the centre mark: `14 in front`, `45 behind`."""
    return _signed(y_cm, "behind", "in front")


def up_words(z_cm: float) -> str:
    """Return a height over the table: `43 up`."""
    return _signed(z_cm, "up", "down")


def tilt_words(tilt_deg: float | None) -> str:
    """Return a tilt: `44° down`, `level`; of what shines all round `any way`."""
    if tilt_deg is None:
        return "any way"
    whole = round(tilt_deg)
    return f"{abs(whole)}° {'up' if whole > 0 else 'down'}" if whole else "level"


def round_words(x_cm: float, y_cm: float) -> str:
    """Return at which angle from the camera a point lies, seen from above at the centre mark: `59° left`, `180°`."""
    if not half_cm(x_cm) and not half_cm(y_cm):
        return "over it"
    return _turned(round_and_rise((x_cm, y_cm, 0.0))[0])


def front_words(facing_deg: float) -> str:
    """Return how far the front of a model is turned from the camera: `front`, `front 35° right`."""
    turned = _turned((facing_deg + 180) % 360 - 180)
    return "front" if turned == "0°" else f"front {turned}"


def point_words(point_cm: tuple[float, float, float], setup: PlacedSetup) -> str:
    """Return a point that is aimed at: `the hero`, `the centre mark`, `0, 8 in front, 5 up`."""
    if math.dist(point_cm, setup.hero_cm) < SAME_POINT_CM:
        return "the centre mark" if setup.subject is None else "the hero"
    x, y, z = point_cm
    spot = f"{across_words(x)}, {along_words(y)}" if half_cm(x) or half_cm(y) else "over the mark"
    return f"{spot}, {up_words(z)}"


def scale_words(scale: float) -> str:
    """Return a scale: `1 : 8`, `1 : 1.5`."""
    return f"1 : {scale:g}"


def _signed(cm: float, positive: str, negative: str) -> str:
    reading = half_cm(cm)
    return f"{abs(reading):g} {positive if reading > 0 else negative}" if reading else "0"


def _turned(degrees: float) -> str:
    whole = round(degrees)
    return f"{abs(whole)}°" if abs(whole) in (0, 180) else f"{abs(whole)}° {'right' if whole > 0 else 'left'}"
