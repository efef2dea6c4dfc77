"""The contact sheet: frames with their captions as one picture, and its files."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gallery.budget.grain import grain_percent, range_words
from gallery.captions.exposure import shared_exposure_words
from gallery.captions.facts import sheet_facts
from gallery.files.facts import write_facts
from gallery.files.names import file_name
from gallery.files.pictures import write_picture
from gallery.paper.page import drawing, write_pages
from gallery.paper.size import Paper
from render.frame import Frame
from scenes.setups.place_setup import LeftOut

from .finished import FACTS
from .layout import WARNING, Row, TextLine, compose
from .pagination import SheetContent
from .printing import sheet_pages
from .rows import lamp_notes, matrix_rows, ordered_cells, rows_of

UPRIGHT_COLUMNS, LYING_COLUMNS = 4, 3  # so that fourteen frames and their captions fill a screen
MOST_COLUMNS = 6  # of a page


@dataclass(frozen=True, eq=False)
class ContactSheet:
    """Frames with what stands above and below all of them.

    Parameters
    ----------
    subtitle
        The model's size.
    grains
        Of the frames, .01 is 1 %; None where it was not measured, as of a draft.
    """

    title: str
    subtitle: str
    frames: Sequence[Frame]
    grains: Sequence[float | None]
    left_out: Sequence[LeftOut] = ()

    @property
    def grains_percent(self) -> list[float | None]:
        """The grains in percent."""
        return [None if grain is None else grain_percent(grain) for grain in self.grains]

    @property
    def heading(self) -> str:
        """The line under the title: the model's size, which of several frames share an exposure, and the grain."""
        exposure = [shared_exposure_words(self.frames)] if len(self.frames) > 1 else []
        grain = range_words(self.grains_percent) or "a draft"
        return "; ".join([*([self.subtitle] if self.subtitle else []), *exposure, grain])

    @property
    def foot(self) -> list[TextLine]:
        """The lines under all frames: the lamps, and the setups that were left out."""
        lamps = [lamp.lamp for frame in self.frames for lamp in frame.setup.lamps]
        return [*lamp_notes(lamps), *(TextLine(setup.sentence, WARNING) for setup in self.left_out)]


def compose_sheet(sheet: ContactSheet) -> NDArray[np.uint8]:
    """Return the contact sheet as a picture."""
    upright = all(frame.rgb.shape[0] > frame.rgb.shape[1] for frame in sheet.frames)
    columns = UPRIGHT_COLUMNS if upright else LYING_COLUMNS
    rows = matrix_rows(sheet.frames) or rows_of(ordered_cells(sheet.frames), columns)
    return compose(sheet.title, sheet.heading, rows, sheet.foot)


def write_sheet(folder: Path, sheet: ContactSheet, made_from: dict[str, Any]) -> None:
    """Write sheet.png, sheet.json and frames/SETUP--FINISH.png under a folder, each whole or not at all.

    `made_from` are the facts of which the sheet is opened again.
    """
    frames = folder / "frames"
    with ThreadPoolExecutor() as pool:
        written = pool.map(lambda frame: write_picture(frames / frame_name(frame), frame.rgb), sheet.frames)
        write_picture(folder / "sheet.png", compose_sheet(sheet))
        list(written)  # raises what was raised in a thread
    facts = sheet_facts(sheet.title, sheet.frames, sheet.left_out)
    for frame_facts, percent in zip(facts["frames"], sheet.grains_percent, strict=True):
        frame_facts["grain_percent"] = percent
    write_facts(folder / FACTS, {**facts, "made_from": made_from})


def write_sheet_pages(path: Path, sheet: ContactSheet, paper: Paper) -> None:
    """Write the contact sheet as a PDF of as many pages as it takes, whole or not at all.

    Raises
    ------
    InputError
        Where captions leave no room for frames.
    """
    arrangements: list[list[Row]] = [matrix_rows(sheet.frames)]
    if not arrangements[0]:
        cells = ordered_cells(sheet.frames)
        arrangements = [rows_of(cells, columns) for columns in range(1, min(MOST_COLUMNS, len(cells)) + 1)]
    content = SheetContent(sheet.title, sheet.heading, arrangements, sheet.foot)
    with drawing():
        write_pages(path, sheet_pages(content, paper), sheet.title)


def frame_name(frame: Frame) -> str:
    """Return the file name of a frame."""
    return picture_name(frame.setup.name, frame.shot.finish, frame.setup.detail)


def picture_name(setup: str, finish: str, detail: str | None, ending: str = ".png") -> str:
    """Return the file name of a setup's frame: `rembrandt--gloss.png`, of a close-up `rembrandt--gloss--helmet.png`."""
    return file_name(setup, finish, *([detail] if detail else []), ending=ending)
