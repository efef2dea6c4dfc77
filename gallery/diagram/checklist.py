"""What to do, in the order in which a setup is put up: sheet, model and camera first, the picture last."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from gallery.captions.exposure import settings_caption
from gallery.diagram.items import items_of
from render.frame import Frame
from scenes.lengths import half_cm, string_reading
from scenes.setups.placement_words.facts import placement_facts

from .lamp_table import dimmer_words, lux_digits
from .readings import LampReading

NO_BREAK: Final = "\xa0"
"""A space at which no line ends."""


def checklist(frame: Frame, readings: Sequence[LampReading], room_lux: float) -> list[str]:
    """Return the steps up to the picture, in sentences."""
    facts = placement_facts(frame.setup, frame.shot.camera, half_cm)
    marks = [item.mark for item in items_of(frame.setup)]
    stage = [facts[name]["words"] for name in ("backdrop", "model", "camera") if facts[name] is not None]
    things = [f"{mark} {thing['words']}" for mark, thing in zip(marks, [*facts["lamps"], *facts["cards"]], strict=True)]
    return [*map(sentence, [*stage, room_words(room_lux), *things]), *metering_steps(frame, readings), _exposure(frame)]


def room_words(lux: float) -> str:
    """Return how the room is lit while the picture is taken."""
    if not lux:
        return "room: dark, no other light on"
    return f"room: lit as planned; the meter reads up to {lux_digits(lux)} lx of it, on top of what each lamp gives"


def metering_steps(frame: Frame, readings: Sequence[LampReading]) -> list[str]:
    """Return the steps that check the lamps with a meter."""
    setup = frame.setup
    lit = [(i, lamp) for i, lamp in enumerate(setup.lamps) if lamp.dimmer]
    if not lit:
        return []
    away = "Mark the model's feet and lift it away. " if setup.subject is not None else ""
    return [
        f"{away}Meter each lamp alone, the dimmer set: on its string, facing it, so far from its centre it reads:",
        *(
            f"{i + 1} {lamp.role} at {dimmer_words(lamp)}: {string_reading(readings[i].from_lamp_cm):g} cm, "
            f"{lux_digits(readings[i].lux)} lx."
            for i, lamp in lit
        ),
        *(["Put the model back on its marks; all lamps on."] if setup.subject is not None else ["All lamps on."]),
    ]


def _exposure(frame: Frame) -> str:
    kelvin = frame.white_balance_kelvin
    white = f"white balance {kelvin:.0f} K" if kelvin else "white balance on a grey card"
    return f"Camera in manual: {settings_caption(frame.exposure).replace('  ', ', ')}, {white}."


def sentence(words: str) -> str:
    """Return words with a full stop, a capital where they begin with a letter, and numbers joined to their units."""
    joined = re.sub(r"(?<=\d) (?=%|cm\b|degrees?\b|lx\b|K\b)", NO_BREAK, words)
    return f"{joined[:1].upper()}{joined[1:]}."
