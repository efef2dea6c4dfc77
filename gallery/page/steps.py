"""A setup as steps to be ticked off, in the order in which it is set up, each in short lines to be read from afar."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from gallery.captions.facts import camera_facts
from gallery.diagram.care import care_notes
from gallery.diagram.checklist import metering_words, reading_words, room_words, white_balance_words
from gallery.diagram.measures import reading_of
from gallery.diagram.notes import sights_heading
from gallery.diagram.readings import lamp_readings, room_lux
from render.frame import Frame
from render.hero_light import HeroLight
from scenes.setups.placement_words.facts import placement_facts

from .settings import exposure_lines

METER: Final = "light meter, if there is one"
EXPOSURE: Final = "camera, by hand"
BRIGHTNESS: Final = "Turn this screen's brightness down: in a dark room it is a lamp too."


@dataclass(frozen=True)
class Step:
    """What is placed or set, and how, a line for each thing to do."""

    heading: str
    lines: tuple[str, ...]


def set_up_steps(frame: Frame, light: HeroLight) -> list[Step]:
    """Return the steps of a frame, read as on its diagram; `light` is what its hero gets."""
    return list(_steps(frame, light))


def _steps(frame: Frame, light: HeroLight) -> Iterator[Step]:
    placement = placement_facts(frame.setup, frame.shot.camera, reading_of(frame.setup))
    yield Step("before you begin", (BRIGHTNESS, *care_notes(frame.setup)))
    for name in ("backdrop", "model", "camera"):
        if placement[name] is not None:
            yield _placing(placement[name]["words"])
    yield _placing(room_words(room_lux(light)))
    for thing in (*placement["lamps"], *placement["cards"]):
        yield _placing(thing["words"])
    if meter := reading_words(frame.setup, lamp_readings(light)):
        back = ("Put the model back on its marks.",) if frame.setup.subject is not None else ()
        yield Step(METER, (metering_words(frame.setup), *meter, *back, "All lamps on."))
    settings = exposure_lines(camera_facts(frame))
    yield Step(EXPOSURE, (*settings, white_balance_words(frame.white_balance_kelvin)))
    yield Step(sights_heading(frame.setup), frame.setup.look_for)


def _placing(words: str) -> Step:
    """Return the step of a sentence such as `key: 25 cm left of the centre mark, lamp centre 43 cm up; panel A`.

    A height stays with the point that it is of.
    """
    heading, _, rest = words.partition(": ")
    return Step(heading, tuple(re.split(r"; |, (?!\S+ cm up)", rest)))
