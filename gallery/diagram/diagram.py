"""The pages of a diagram: the drawing, then lamps in numbers and what to do in order."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from gallery.paper.box import Box
from gallery.paper.page import new_page, page_of
from gallery.paper.size import Paper
from gallery.paper.text import Lettering
from render.frame import Frame

from .scale_bar import BAR_HEIGHT_CM, draw_scale_bar
from .views.drawing import draw_views

if TYPE_CHECKING:
    from matplotlib.figure import Figure

HEADING: Final = Lettering(15, bold=True)
BODY: Final = Lettering(10)


def draw_diagram(frame: Frame, title: str, paper: Paper) -> list[Figure]:
    """Return the pages of a frame's diagram."""
    axes = new_page(paper)
    inner = Box(paper.margin_cm, paper.margin_cm, paper.width_cm - paper.margin_cm, paper.height_cm - paper.margin_cm)
    top = inner.top
    for lettering, text in ((HEADING, f"{title}: {frame.setup.name}"), (BODY, frame.setup.reads_as)):
        lines = lettering.wrapped(text, inner.width)
        lettering.write_lines(axes, inner.left, top, "\n".join(lines))
        top -= lettering.line_cm * len(lines)
    drawing = draw_views(axes, frame.setup, Box(inner.left, inner.bottom + BAR_HEIGHT_CM, inner.right, top))
    draw_scale_bar(axes, drawing.layout.scale, inner)
    return [page_of(axes)]
