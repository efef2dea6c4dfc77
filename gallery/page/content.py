"""What the page says of each frame: facts as text, for its template and its scripts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from gallery.captions.alternative_text import alternative_text
from scenes.setups.placement_words.facts import placement_lines

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
    lacks: tuple[str, ...]
    placement: tuple[str, ...]
    readings: tuple[tuple[str, str], ...]
    steps: tuple[Step, ...]


def frame_texts(facts: Sequence[dict[str, Any]]) -> list[FrameText]:
    """Return the frames of a sheet in words, by their facts as in sheet.json."""
    finishes = {frame["finish"] for frame in facts}
    return [_frame_text(number, frame, len(finishes) > 1) for number, frame in enumerate(facts, start=1)]


def _frame_text(number: int, facts: dict[str, Any], of_several_finishes: bool) -> FrameText:
    setup, finish = facts["setup"], facts["finish"]
    return FrameText(
        number,
        setup,
        finish,
        f"{setup}, {finish}" if of_several_finishes or finish != "as-built" else setup,
        facts["reads_as"],
        alternative_text(facts),
        ", ".join(setting_lines(facts["camera"])),
        tuple(facts["lacks"]),
        tuple(placement_lines(facts["placement"])),
        tuple(reading_rows(facts["readings"])),
        tuple(set_up_steps(facts)),
    )
