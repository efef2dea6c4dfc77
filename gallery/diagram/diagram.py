"""The pages of a diagram: the drawing, then lamps in numbers and what to do in order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

import numpy as np

from gallery.paper.box import Box
from gallery.paper.flow import NUMBER_CM, Flow, number_pages
from gallery.paper.page import new_page, page_of
from gallery.paper.size import Paper
from gallery.paper.text import Lettering
from render.frame import Frame
from render.hero_light import HeroLight

from .care import care_notes
from .checklist import checklist, sentence
from .lamp_centre import centre_words
from .lamp_table import lamp_table
from .measures import HERO
from .notes import setup_notes, sights_heading
from .readings import lamp_readings, room_lux
from .scale_bar import BAR_HEIGHT_CM, draw_scale_bar
from .views.drawing import draw_views

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

HEADING: Final = Lettering(15, bold=True)
SECTION: Final = Lettering(12, bold=True)
BODY: Final = Lettering(10)
SPACE_CM: Final = 0.3
"""Between sections."""
STEP_CM: Final = 0.08
"""Between steps."""
NAMES_CM: Final = 3.9
"""Width of the first column of the table of lamps."""
MOST_COLUMNS: Final = 3
"""Lamps of one table."""
NOTES: Final = (
    "cm from the centre mark and up from the table. Dotted: edges of the picture. Slanting cross: the hero, "
    f"{HERO}. Heights and strings are to a lamp's centre, {{centre}}; its face alone is drawn, leave room for the rest."
)
PICTURE_CM: Final = 4.6
"""Longer side of the small frame."""


def draw_diagram(frame: Frame, light: HeroLight, title: str, paper: Paper) -> list[Figure]:
    """Return the pages of a frame's diagram; `light` is what its hero gets."""
    heading = f"{title}: {frame.setup.name}"
    text = Flow(paper, heading, SECTION)
    _write_lamps(text, frame, light)
    _write_steps(text, frame, light)
    _write_ends(text, frame)
    pages = [_drawing_page(frame, heading, paper), *text.pages]
    number_pages(pages, paper)
    return [page_of(axes) for axes in pages]


def _drawing_page(frame: Frame, heading: str, paper: Paper) -> Axes:
    axes, inner = new_page(paper), paper.inner
    top = inner.top
    for lettering, text, beside in ((HEADING, heading, NUMBER_CM), (BODY, frame.setup.reads_as, 0.0)):
        lines = lettering.wrapped(text, inner.width - beside)
        lettering.write_lines(axes, inner.left, top, "\n".join(lines))
        top -= lettering.line_cm * len(lines)
    drawing = draw_views(axes, frame.setup, Box(inner.left, inner.bottom + BAR_HEIGHT_CM, inner.right, top))
    draw_scale_bar(axes, drawing.layout.scale, NOTES.format(centre=centre_words(frame.setup.lamps)), inner)
    return axes


def _write_lamps(text: Flow, frame: Frame, light: HeroLight) -> None:
    rows = lamp_table(frame.setup, lamp_readings(light))
    for start in range(1, len(rows[0]), MOST_COLUMNS):
        part = [[row[0], *row[start : start + MOST_COLUMNS]] for row in rows]
        width = (text.inner.width - NAMES_CM) / max(2, len(part[0]) - 1)
        text.space(SPACE_CM)
        text.table(part, [NAMES_CM, *[width] * (len(part[0]) - 1)], BODY)


def _write_steps(text: Flow, frame: Frame, light: HeroLight) -> None:
    text.space(SPACE_CM)
    text.paragraph("In this order", SECTION)
    for step in checklist(frame, lamp_readings(light), room_lux(light)):
        text.space(STEP_CM)
        text.tick(step, BODY)


def _write_ends(text: Flow, frame: Frame) -> None:
    """Write what the picture should show, cautions, and what the setup lacks, beside the small frame."""
    height, width = PICTURE_CM * np.array(frame.rgb.shape[:2]) / max(frame.rgb.shape[:2])
    text.space(SPACE_CM)
    text.require(height)
    text.picture(frame.rgb, width)
    if frame.setup.look_for:
        text.paragraph(sights_heading(frame.setup), SECTION)
    for sight in frame.setup.look_for:
        text.space(STEP_CM)
        text.tick(sentence(sight), BODY)
    _write_notes(text, "Take care", care_notes(frame.setup))
    _write_notes(text, "About this setup", setup_notes(frame.setup))


def _write_notes(text: Flow, heading: str, notes: Sequence[str]) -> None:
    """Write sentences with their heading on one page."""
    if notes:
        text.space(SPACE_CM)
        heights = [len(BODY.wrapped(note, text.width_cm)) * BODY.line_cm + STEP_CM for note in notes]
        text.require(SECTION.line_cm + sum(heights))
        text.paragraph(heading, SECTION)
    for note in notes:
        text.space(STEP_CM)
        text.paragraph(note, BODY)
