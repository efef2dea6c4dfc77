"""Setups as drawn on a page: lamps, cards and a camera where a test says, and texts as they lie on the page."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg

from gallery.diagram.views.drawing import Drawing, draw_views
from gallery.paper.box import Box
from gallery.paper.page import drawing, new_page
from gallery.paper.size import PaperName, paper_of
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.placed import PlacedSetup
from scenes.subject.subject import Part, Subject
from tests.support.arrangements import place

WITHIN = Box(1.2, 2.7, 19.8, 27.0)
HIDDEN_CM = 0.03
"""How much the boxes of two texts may share: their borders are blank."""


def block(width_cm: float, depth_cm: float, height_cm: float) -> Subject:
    """Return a subject that is a box on the centre mark."""
    x, y = width_cm / 2, depth_cm / 2
    vertices = np.array([(a, b, c) for a in (-x, x) for b in (-y, y) for c in (0, height_cm)], np.float32)
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    faces = np.array([t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))], np.int32)
    return Subject("block", (Part("block", vertices, np.zeros_like(vertices), faces),))


def as_placed(subject: Subject | None, **sections: Any) -> PlacedSetup:
    """Return the lamps and cards of an arrangement, by its sections, where they stand."""
    return place("as-placed", fill_model(sections, Arrangement, "test.toml"), subject)


def drawn(setup: PlacedSetup) -> tuple[Axes, Drawing]:
    """Return a page with both views of a setup, and the views."""
    with drawing():
        axes = new_page(paper_of(PaperName.A4))
        return axes, draw_views(axes, setup, WITHIN)


def text_boxes(axes: Axes) -> list[tuple[str, Box]]:
    """Return every text of a page and the box of its ink, cm."""
    figure: Any = axes.figure
    canvas: Any = FigureCanvasAgg(figure)
    renderer = canvas.get_renderer()
    cm = 2.54 / figure.dpi
    boxes = [(text.get_text(), text.get_window_extent(renderer)) for text in axes.texts if text.get_text()]
    return [(text, Box(b.x0 * cm, b.y0 * cm, b.x1 * cm, b.y1 * cm)) for text, b in boxes]


def faults(axes: Axes) -> list[str]:
    """Return which texts of a page overlap or lie outside the margins."""
    boxes = text_boxes(axes)
    outside = [text for text, box in boxes if not WITHIN.grown(HIDDEN_CM).holds(box)]
    covered = [
        f"{one} | {other}"
        for (one, first), (other, second) in combinations(boxes, 2)
        if first.grown(-HIDDEN_CM).overlaps(second.grown(-HIDDEN_CM))
    ]
    return outside + covered
