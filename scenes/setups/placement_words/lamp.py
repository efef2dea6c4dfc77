"""A lamp's place as facts and in words: centre, aim, string to the hero, tilt, how it is mounted, dimmer."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from materials.arrays import Vector
from scenes.geometry import axes_facing, round_and_rise
from scenes.lengths import Reading, distance_words, tape_reading
from scenes.setups.placed import PlacedLamp, PlacedSetup

from .tape import ground_words, height_words, tilt_words

SAME_POINT_CM: Final = 0.5
"""An aim this near to the hero, the model's middle or the centre mark is called so."""
STEEP_DEG: Final = 75.0
"""A panel tilted more than this has no upright side."""
FINE_BELOW: Final = 0.095
"""Dimmers below this have a decimal."""


def lamp_facts(lamp: PlacedLamp, setup: PlacedSetup, reading: Reading = tape_reading) -> dict[str, Any]:
    """Return the place of a lamp of a setup; lengths in cm, a positive tilt is up.

    `tilt_deg` is None of a lamp that shines all round, `long_side` of what has none, `dimmer` where it is to be solved.
    """
    place, tilt = lamp.place, tilt_deg(lamp)
    string = float(np.linalg.norm(np.subtract(place.at_cm, setup.hero_cm)))
    side = _long_side(lamp)
    return {
        "role": lamp.role,
        "name": lamp.name,
        "at_cm": list(place.at_cm),
        "aim_cm": list(place.aim_cm),
        "string_cm": round(string, 1),
        "tilt_deg": None if tilt is None else round(tilt, 1) + 0.0,
        "long_side": side,
        "hangs": lamp.hangs,
        "dimmer": None if _dimmed_to(lamp, setup) else round(lamp.dimmer, 4),
        "words": "; ".join(
            [
                spot_words(lamp, reading),
                _aim_words(lamp, setup, string, reading),
                *([f"longer side {side}"] if side else []),
                *(["hang it from an arm"] if lamp.hangs else []),
                f"{lamp.name} {_dimmer_words(lamp, setup)}",
            ]
        ),
    }


def spot_words(lamp: PlacedLamp, reading: Reading = tape_reading) -> str:
    """Return where a lamp is: `key: 24 cm left of the centre mark, lamp centre 41 cm up, tilted down 35 degrees`."""
    at, tilt = lamp.place.at_cm, tilt_deg(lamp)
    spot = f"{lamp.role}: {ground_words(at, reading)}, lamp centre {height_words(at[2], reading)}"
    return spot if tilt is None else f"{spot}, {tilt_words(tilt)}"


def _dimmer_words(lamp: PlacedLamp, setup: PlacedSetup) -> str:
    """Return how far a lamp is dimmed: `at 25 %`, `off`; of a dimmer to be solved what it is solved for."""
    return _dimmed_to(lamp, setup) or (f"at {percent_words(lamp.dimmer)}" if lamp.dimmer else "off")


def percent_words(dimmer: float) -> str:
    """Return a dimmer in per cent, with a decimal where it is below ten: `25 %`, `8.8 %`."""
    return f"{100 * dimmer:.0f} %" if dimmer >= FINE_BELOW else f"{100 * dimmer:.1f} %"


def _dimmed_to(lamp: PlacedLamp, setup: PlacedSetup) -> str | None:
    """Return what a lamp's dimmer is still to be solved for; None where it is known."""
    if not lamp.lamp.model.dimmable:
        return None
    if lamp.stops_under_key == 0:
        return f"dimmed to match the {setup.reference_lamp.role}"
    if lamp.stops_under_key is not None:
        plural = "" if lamp.stops_under_key == 1 else "s"
        return f"dimmed to {lamp.stops_under_key:g} stop{plural} under the {setup.reference_lamp.role}"
    if lamp.sheet_over_white is not None:
        return f"dimmed until the sheet is {lamp.sheet_over_white:g} times as bright as white"
    if any(other.sheet_over_white is not None for other in setup.lamps):
        return f"at {percent_words(lamp.dimmer)} or less"  # where the lamp on the sheet is too weak
    return None


def _aim_words(lamp: PlacedLamp, setup: PlacedSetup, string_cm: float, reading: Reading) -> str:
    """Return what a lamp aims at, and how far the hero is."""
    hero = "the centre mark" if setup.subject is None else "the hero"
    string = f"{distance_words(string_cm, reading)} away along a string"
    if tilt_deg(lamp) is None:
        return f"{hero} {string}"
    aim = np.asarray(lamp.place.aim_cm)
    if np.linalg.norm(aim - setup.hero_cm) < SAME_POINT_CM:
        return f"aimed at {hero}, {string}"
    return f"aimed at {_point_words(aim, setup, reading)}, {hero} {string}"


def _point_words(point_cm: Vector, setup: PlacedSetup, reading: Reading) -> str:
    height = height_words(float(point_cm[2]), reading)
    if np.linalg.norm(point_cm) < SAME_POINT_CM:
        return "the centre mark"
    if setup.subject is not None and np.linalg.norm(point_cm - setup.subject.bounds_cm.mean(axis=0)) < SAME_POINT_CM:
        return f"the model's middle, {height}"
    return f"a point {ground_words(point_cm, reading)}, {height}"


def _long_side(lamp: PlacedLamp) -> str | None:
    """Return how the longer side of a panel runs; None where its sides are equal, and of other lamps."""
    model, (width, height) = lamp.lamp.model, lamp.extent_cm
    if model.kind != "panel" or model.snoot is not None or width == height:
        return None
    if abs(round_and_rise(lamp.place.facing)[1]) < STEEP_DEG:
        return "level" if width > height else "upright"
    x, y, _ = np.abs(axes_facing(lamp.place.facing)[:, 0 if width > height else 1])
    return "left to right" if x >= y else "front to back"


def tilt_deg(lamp: PlacedLamp) -> float | None:
    """Return the elevation of the direction that a lamp faces; None where it shines all round."""
    if lamp.lamp.model.kind == "bulb" and lamp.lamp.distribution is None:
        return None
    return round_and_rise(lamp.place.facing)[1]
