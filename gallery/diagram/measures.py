"""Distances and angles in the few characters that a drawing has room for."""

from __future__ import annotations

import math
from typing import Final

from scenes.geometry import round_and_rise
from scenes.lengths import HALVES_BELOW_CM, Reading, half_cm, string_reading
from scenes.setups.placed import PlacedSetup
from scenes.setups.placement_words.lamp import SAME_POINT_CM

HERO: Final = "what lamps aim at and the camera is focused on"


def reading_of(setup: PlacedSetup) -> Reading:
    """Return how distances are read: to half a centimetre, but below ten to a millimetre where a string is that short.

    So near to a small model, half a centimetre more is a third of a stop.
    """
    strings = (math.dist(lamp.place.at_cm, setup.hero_cm) for lamp in setup.lamps)
    return string_reading if min(strings, default=math.inf) < HALVES_BELOW_CM else half_cm


def across_words(x_cm: float, reading: Reading = half_cm) -> str:
    """Return a distance to the side of the centre mark: `24.5 left`, `0`."""
    return _signed(x_cm, "right", "left", reading)


def along_words(y_cm: float, reading: Reading = half_cm) -> str:
    """Return a distance before or behind the centre mark: `14 in front`, `45 behind`."""
    return _signed(y_cm, "behind", "in front", reading)


def up_words(z_cm: float, reading: Reading = half_cm) -> str:
    """Return a height over the table: `43 up`."""
    return _signed(z_cm, "up", "down", reading)


def tilt_words(tilt_deg: float | None) -> str:
    """Return a tilt: `44° down`, `level`; of what shines all round `turn it any way`."""
    if tilt_deg is None:
        return "turn it any way"
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
    (x, y, z), reading = point_cm, reading_of(setup)
    spot = f"{across_words(x, reading)}, {along_words(y, reading)}" if half_cm(x) or half_cm(y) else "over the mark"
    return f"{spot}, {up_words(z, reading)}"


def scale_words(scale: float) -> str:
    """Return a scale: `1 : 8`, `1 : 1.5`."""
    return f"1 : {scale:g}"


def _signed(cm: float, positive: str, negative: str, reading: Reading) -> str:
    shown = reading(cm)
    return f"{abs(shown):g} {positive if shown > 0 else negative}" if shown else "0"


def _turned(degrees: float) -> str:
    whole = round(degrees)
    return f"{abs(whole)}°" if abs(whole) in (0, 180) else f"{abs(whole)}° {'right' if whole > 0 else 'left'}"
