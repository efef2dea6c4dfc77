"""A setup as steps to be ticked off, in the order in which it is set up, each in short lines to be read from afar."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Final

from .settings import setting_lines


@dataclass(frozen=True)
class Step:
    """What is placed or set, and how, a line for each thing to do."""

    heading: str
    lines: tuple[str, ...]


EXPOSURE: Final = "exposure, by hand"
BEFORE: Final = Step(
    "before you begin",
    (
        "turn this screen's brightness down: in a dark room it is a lamp too",
        "lamps run hot: keep the distance to paper, cloth and plastic that their labels ask for",
    ),
)


def set_up_steps(facts: dict[str, Any]) -> list[Step]:
    """Return the steps of a frame, by its facts as in sheet.json."""
    placement = facts["placement"]
    things = [placement["backdrop"], placement["model"], placement["camera"], *placement["lamps"], *placement["cards"]]
    return [
        BEFORE,
        *(_placing(thing["words"]) for thing in things if thing is not None),
        Step(EXPOSURE, tuple(setting_lines(facts["camera"]))),
        Step("look at the picture", (facts["reads_as"],)),
    ]


def _placing(words: str) -> Step:
    """Return the step of a sentence such as `key: 25 cm left of the centre mark, lamp centre 43 cm up; panel A`."""
    heading, _, rest = words.partition(": ")
    return Step(heading, tuple(re.split(r"; |, (?!\S+ cm up)", rest)))
