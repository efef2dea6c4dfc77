"""What a frame shows, in words for those who do not see it: what the light does, and where it comes from."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from scenes.geometry import round_and_rise

SIDES: Final = ((20.0, "the front"), (65.0, "the front {}"), (115.0, "the {}"), (160.0, "behind, {}"))
"""Up to so many degrees round from the camera, light comes from there."""
STEEP_DEG, RAISED_DEG, LOW_DEG = 65.0, 15.0, -10.0


def alternative_text(facts: dict[str, Any]) -> str:
    """Return the alternative text of a frame, by its facts as in sheet.json."""
    finish = "" if facts["finish"] == "as-built" else f", {facts['finish']} finish"
    lit = [_lamp_words(lamp, facts) for lamp in facts["lamps"] if lamp["dimmer"]]
    return " ".join([f"{facts['setup']}{finish}: {facts['reads_as']}.", *lit, *_backdrop_words(facts["readings"])])


def _lamp_words(lamp: dict[str, Any], facts: dict[str, Any]) -> str:
    """Return where a lamp's light comes from, seen from the hero: `Key from the front left, above.`."""
    model = facts["placement"]["model"]
    hero_cm = (0.0, 0.0, 0.0) if model is None else model["hero_cm"]
    round_deg, rise_deg = round_and_rise(np.subtract(lamp["at_cm"], hero_cm))
    turn = (round_deg + 180) % 360 - 180
    side = next((words for most, words in SIDES if abs(turn) <= most), "behind")
    where = side.format("right" if turn > 0 else "left")
    if rise_deg > STEEP_DEG:
        where = "straight above"
    elif rise_deg > RAISED_DEG:
        where += ", above"
    elif rise_deg < LOW_DEG:
        where += ", below"
    role: str = lamp["role"]
    return f"{role[:1].upper()}{role[1:]} from {where}."


def _backdrop_words(readings: dict[str, float | None]) -> list[str]:
    stops = readings["backdrop_stops"]
    if stops is None:
        return []
    if abs(stops) < 0.3:
        return ["The backdrop is about as bright as the model."]
    return [f"The backdrop is {abs(stops):.1f} stops {'brighter' if stops > 0 else 'darker'} than the model."]
