"""What to do, in the order in which a setup is put up: sheet, model and camera first, the picture last."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from gallery.captions.exposure import settings_caption
from gallery.diagram.items import marked_words
from render.frame import Frame
from scenes.lengths import string_reading
from scenes.setups.placed import PlacedSetup
from scenes.setups.placement_words.card import board_words
from scenes.setups.placement_words.facts import placement_facts

from .lamp_table import lux_digits
from .measures import reading_of
from .readings import LampReading

STAGE: Final = {"backdrop": "", "model": "; front as in the picture", "camera": ""}
"""What stands round the lamps, in order, and what is added of it."""
NO_BREAK: Final = "\xa0"
"""A space at which no line ends."""


def checklist(frame: Frame, readings: Sequence[LampReading], room_lux: float) -> list[str]:
    """Return the steps up to the picture, in sentences."""
    facts = placement_facts(frame.setup, frame.shot.camera, reading_of(frame.setup))
    stage = [facts[name]["words"] + more for name, more in STAGE.items() if facts[name] is not None]
    things = marked_words(frame.setup, facts)
    meter = "; ".join(reading_words(frame.setup, readings))
    metering = [f"{metering_words(frame.setup)} {meter}"] if meter else []
    steps = [needed_words(frame.setup), *stage, room_words(room_lux), *things, *metering, _exposure(frame)]
    return list(map(sentence, steps))


def needed_words(setup: PlacedSetup) -> str:
    """Return the lamps, cards and sheet that a setup takes."""
    sheet = [] if setup.sweep is None else [f"{setup.backdrop_board} for the sweep"]
    lamps = [lamp.name for lamp in setup.lamps]
    return f"you need: {'; '.join([*lamps, *map(board_words, setup.cards), *sheet])}"


def room_words(lux: float) -> str:
    """Return how the room is lit while the picture is taken."""
    if not lux:
        return "room: dark, no other light on"
    return f"room: lit as planned; the meter reads up to {lux_digits(lux)} lx of it, on top of what each lamp gives"


def metering_words(setup: PlacedSetup) -> str:
    """Return how the lamps are checked with a meter, before what it reads."""
    way = "on its string, facing it"
    if setup.subject is None:
        return f"Meter each lamp alone, its dimmer set: {way}, so far from its centre:"
    way = f"{way}, where the string would enter the model"
    return (
        f"Mark the model's feet and lift it away. Meter each lamp alone, its dimmer set: {way}, so far from its centre:"
    )


def reading_words(setup: PlacedSetup, readings: Sequence[LampReading]) -> list[str]:
    """Return what a meter reads of each lamp that is lit, and where: `1 key 36 cm, 3990 lx`."""
    return [
        f"{i + 1} {lamp.role} {string_reading(reading.from_lamp_cm):g} cm, {lux_digits(reading.lux)} lx"
        for i, (lamp, reading) in enumerate(zip(setup.lamps, readings, strict=True))
        if lamp.dimmer
    ]


def white_balance_words(kelvin: float | None) -> str:
    """Return a white balance as cameras are set to one: near a whole hundred kelvin; of coloured light by a card."""
    return f"white balance near {round(kelvin, -2):.0f} K" if kelvin else "white balance on a grey card"


def _exposure(frame: Frame) -> str:
    back = "model back, " if frame.setup.subject is not None else ""
    settings = settings_caption(frame.exposure).replace("  ", ", ")
    return f"{back}all lamps on, camera in manual: {settings}, {white_balance_words(frame.white_balance_kelvin)}"


def sentence(words: str) -> str:
    """Return words with a full stop, a capital where they begin with a letter, and numbers joined to their units."""
    joined = re.sub(r"(?<=\d) (?=%|cm\b|degrees?\b|lx\b|K\b)", NO_BREAK, words)
    return f"{joined[:1].upper()}{joined[1:]}."
