"""The lamps of a setup in numbers: a table of a column for each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from scenes.lengths import string_reading
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.setups.placement_words.lamp import lamp_facts, percent_words, tilt_deg
from scenes.units import stops

from .measures import across_words, along_words, point_words, reading_of, round_words, tilt_words, up_words
from .readings import LampReading

NAMES: Final = (
    "in cm", "lamp", "from the mark", "angle at mark", "lamp's centre", "aimed at", "tilt", "longer side",
    "string to hero", "dimmer", "white", "meter from lamp", "meter reads, lx", "1 cm farther",
)  # fmt: skip
"""Of the rows."""


def lamp_table(setup: PlacedSetup, readings: Sequence[LampReading]) -> list[list[str]]:
    """Return the rows of a table: a heading, then a value for each lamp."""
    numbered = enumerate(zip(setup.lamps, readings, strict=True), start=1)
    columns = [NAMES, *(_column(i, lamp, setup, reading) for i, (lamp, reading) in numbered)]
    return [list(row) for row in zip(*columns, strict=True) if any(row[1:])]


def _column(number: int, lamp: PlacedLamp, setup: PlacedSetup, reading: LampReading) -> list[str]:
    (x, y, z), read = lamp.place.at_cm, reading_of(setup)
    tilt = tilt_deg(lamp)
    return [
        f"{number} {lamp.role}",
        lamp.name,
        f"{across_words(x, read)}, {along_words(y, read)}",
        round_words(x, y),
        up_words(z, read),
        "shines all round" if tilt is None else point_words(lamp.place.aim_cm, setup),
        tilt_words(tilt),
        lamp_facts(lamp, setup)["long_side"] or "",
        f"{string_reading(math.dist(lamp.place.at_cm, setup.hero_cm)):g}",
        dimmer_words(lamp),
        "coloured light" if lamp.lamp.cct is None else f"{lamp.lamp.cct:.0f} K",
        f"{string_reading(reading.from_lamp_cm):g}",
        lux_digits(reading.lux),
        "" if reading.stops_per_cm is None else f"{-reading.stops_per_cm:+.2f} stops",
    ]


def dimmer_words(lamp: PlacedLamp) -> str:
    """Return a dimmer in per cent and in stops under full: `25 %, 2.0 stops under full`."""
    if not lamp.dimmer:
        return "off"
    under = stops(1 / lamp.dimmer)
    percent = percent_words(lamp.dimmer)
    fixed = "" if lamp.lamp.model.dimmable else ", has no dimmer"
    return f"{percent}{fixed}" if under < 0.05 else f"{percent}, {under:.1f} stops under full{fixed}"


def lux_digits(lux: float) -> str:
    """Return an illuminance to three digits, as meters show it: `1240`, `38.5`."""
    return f"{float(f'{lux:.3g}'):g}"
