"""What an index says of a sheet, read from the sheet's folder, and the small pictures that it shows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

import numpy as np

from gallery.budget.grain import range_words
from gallery.files.pictures import picture_size, read_picture, write_picture
from gallery.files.scaling import at_most
from gallery.frames.shots import frame_title
from gallery.sheet.contact_sheet import picture_name
from gallery.sheet.finished import FACTS, facts_in
from scenes.errors import InputError
from scenes.setups.place_setup import LeftOut

SMALL_PX: Final = 240
"""Width of a small picture: two pixels of a phone's for each of a page's."""


@dataclass(frozen=True)
class FrameSummary:
    """A frame of a sheet: the stem of its picture, and the grain left in it, percent, where it was measured."""

    setup: str
    finish: str
    stem: str
    grain_percent: float | None

    @property
    def grain(self) -> float | None:
        """The grain as a share."""
        return None if self.grain_percent is None else self.grain_percent / 100

    @property
    def title(self) -> str:
        """What it is called: `rembrandt`, of a finish `rembrandt, gloss`."""
        return frame_title(self.setup, self.finish)


@dataclass(frozen=True)
class SheetSummary:
    """A sheet in short.

    Parameters
    ----------
    size
        Of a frame, pixels.
    rounds
        How many its light has, where that is known.
    asked
        What it was asked for, as a `Request` in JSON.
    """

    title: str
    size: tuple[int, int]
    frames: tuple[FrameSummary, ...]
    left_out: tuple[LeftOut, ...]
    rounds: int | None
    asked: dict[str, Any]

    @property
    def finishes(self) -> tuple[str, ...]:
        """The finishes of its frames, each once."""
        return tuple(dict.fromkeys(frame.finish for frame in self.frames))

    @property
    def first_finish(self) -> tuple[FrameSummary, ...]:
        """The frames in the first of its finishes, one of each setup."""
        return tuple(frame for frame in self.frames if frame.finish == self.finishes[0])

    def has_grain(self, wanted: float) -> bool:
        """Return whether the grain of all its frames was measured, and none has more than is wanted, as a share."""
        return all(frame.grain is not None and frame.grain <= wanted for frame in self.frames)

    @property
    def grain_words(self) -> str:
        """The grain left in its frames, `grain 0.8 to 1.4 %`; nothing where it was not measured."""
        return range_words([frame.grain_percent for frame in self.frames])


def summary_of(folder: Path) -> SheetSummary | None:
    """Return the sheet in a folder in short; None where there is none that is whole."""
    try:
        there = (folder / FACTS).stat()
    except OSError:
        return None
    return _summary_once(folder, (there.st_mtime_ns, there.st_ino, there.st_size))


@cache
def _summary_once(folder: Path, _version: tuple[int, ...]) -> SheetSummary | None:
    """Return the sheet in a folder, read once for each version of it: an index is made more often than a sheet."""
    try:
        facts = facts_in(folder)
        frames = tuple(map(_frame, facts["frames"]))
        asked = dict(facts["made_from"])
        rounds = asked.pop("rounds", None)
        asked.pop("fingerprint", None)
        return SheetSummary(
            facts["title"],
            picture_size(folder / "frames" / f"{frames[0].stem}.png"),
            frames,
            tuple(LeftOut(**setup) for setup in facts["left_out"]),
            rounds,
            asked,
        )
    except (InputError, OSError, LookupError, TypeError, ValueError, AttributeError):
        return None


def _frame(facts: dict[str, Any]) -> FrameSummary:
    part = facts.get("detail", {}).get("part")
    stem = picture_name(facts["setup"], facts["finish"], part, ending="")
    return FrameSummary(facts["setup"], facts["finish"], stem, facts.get("grain_percent"))


def write_small_pictures(folder: Path) -> None:
    """Write the small picture of each frame of the sheet in a folder: small/rembrandt--gloss.jpg."""
    sheet = summary_of(folder)
    for frame in sheet.frames if sheet else ():
        picture = np.asarray(read_picture(folder / "frames" / f"{frame.stem}.png"), np.uint8)
        write_picture(folder / "small" / f"{frame.stem}.jpg", at_most(picture, SMALL_PX))
