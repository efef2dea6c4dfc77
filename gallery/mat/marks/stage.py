"""Marks of camera and backdrop: where the lens is, and the lines of the sheet on the table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from gallery.diagram.measures import reading_of
from scenes.geometry import round_and_rise
from scenes.lengths import Reading
from scenes.setups.placed import PlacedSetup
from scenes.setups.placement_words.tape import ground_words, tilt_words
from scenes.stage.backdrop import Sweep
from scenes.stage.viewpoint import Viewpoint

from .mark import Line, Mark, Stroke
from .words import height_words

SHEET: Final = "sheet"
"""The first word of the names of its lines."""


def camera_mark(view: Viewpoint, reading: Reading) -> Mark:
    """Return the point under the lens, along a line from the centre mark."""
    at = np.array(view.at_cm)
    tilt_deg = round_and_rise(np.subtract(view.aim_cm, view.at_cm))[1]
    words = (f"lens {height_words(at[2], reading)}, {tilt_words(tilt_deg)}",)
    return Mark("camera", words, at[:2], from_cm=np.zeros(2), has_cross=True)


def sheet_marks(sweep: Sweep, reading: Reading) -> Iterator[Mark]:
    """Yield the edges of the sheet, and where it bends and stands up; no page is printed for them."""
    half, front, wall = sweep.width_cm / 2, -sweep.front_cm, sweep.wall_cm
    for name, y in (("front edge", front), ("start of the bend", wall - sweep.radius_cm), ("wall", wall)):
        yield _edge(f"{SHEET}, {name}", (0.0, y), [(-half, y), (half, y)], reading)
    for name, x in (("left edge", -half), ("right edge", half)):
        yield _edge(f"{SHEET}, {name}", (x, 0.0), [(x, front), (x, wall)], reading)


def stage_marks(setup: PlacedSetup) -> list[Mark]:
    """Return the marks of a setup's camera and backdrop."""
    reading = reading_of(setup)
    return [camera_mark(setup.view, reading), *(() if setup.sweep is None else sheet_marks(setup.sweep, reading))]


def _edge(name: str, at_cm: tuple[float, float], ends_cm: list[tuple[float, float]], reading: Reading) -> Mark:
    line = Line(np.array(ends_cm), Stroke.sheet)
    words = (ground_words(at_cm, reading),)
    return Mark(name, words, np.array(at_cm), (line,))
