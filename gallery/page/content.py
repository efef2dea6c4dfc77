"""What the page says of each frame: facts as text, for its template and its scripts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gallery.captions.alternative_text import alternative_text
from gallery.captions.facts import frame_facts
from gallery.diagram.measures import reading_of
from gallery.diagram.notes import setup_notes
from gallery.frames.shots import AS_BUILT
from render.frame import Frame
from render.hero_light import HeroLight
from scenes.setups.placement_words.facts import placement_facts, placement_lines

from .settings import reading_rows, setting_lines
from .steps import Step, set_up_steps


@dataclass(frozen=True)
class FrameText:
    """A frame in words.

    Parameters
    ----------
    number
        From 1, as in the page's addresses.
    readings
        Label and value of each.
    """

    number: int
    setup: str
    finish: str
    name: str
    reads_as: str
    alternative_text: str
    settings: str
    notes: tuple[str, ...]
    placement: tuple[str, ...]
    readings: tuple[tuple[str, str], ...]
    steps: tuple[Step, ...]


def frame_texts(frames: Sequence[Frame], lights: Sequence[HeroLight]) -> list[FrameText]:
    """Return the frames of a sheet in words; `lights` are what their heroes get."""
    are_named = len({frame.shot.finish for frame in frames}) > 1
    pairs = enumerate(zip(frames, lights, strict=True), start=1)
    return [_frame_text(number, frame, light, are_named) for number, (frame, light) in pairs]


def _frame_text(number: int, frame: Frame, light: HeroLight, of_several_finishes: bool) -> FrameText:
    setup, finish, facts = frame.setup, frame.shot.finish, frame_facts(frame)
    placement = placement_facts(setup, frame.shot.camera, reading_of(setup))
    return FrameText(
        number,
        setup.name,
        finish,
        f"{setup.name}, {finish}" if of_several_finishes or finish != AS_BUILT else setup.name,
        setup.reads_as,
        alternative_text(facts),
        ", ".join(setting_lines(facts["camera"])),
        setup_notes(setup),
        tuple(placement_lines(placement)),
        tuple(reading_rows(facts["readings"])),
        tuple(set_up_steps(frame, light)),
    )
