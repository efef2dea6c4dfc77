"""The first page of the mat: how to print and tape it, which page lies where, all marks in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from gallery.paper.box import Box
from gallery.paper.page import page_of
from gallery.paper.size import Paper
from gallery.paper.text import Lettering
from scenes.lengths import half_cm
from scenes.setups.placement_words.tape import ground_words

from .arrows import anchor_of, arrow_to
from .flow import Column, Flow
from .map import draw_map
from .mark import Mark
from .tiling import Tiling, page_name
from .words import length_words

if TYPE_CHECKING:
    from matplotlib.figure import Figure

HEADING: Final = Lettering(15, bold=True)
NAME: Final = Lettering(10, bold=True)
TEXT: Final = Lettering(10)
APART_CM: Final = 0.5
"""Between columns, and between steps and marks."""
NUMBER_CM: Final = 0.8
PAGE_CM: Final = 1.3
MARK_CM: Final = 6.3
"""Where a column ends."""
MAP_SHARE: Final = 0.45
"""Of the width of the page, for the map of the pages."""

TAPING: Final = (
    "Cut pages along their dashed lines. Lay each over the strips of the pages to its left and behind it, so that the "
    "halves of the diamonds meet, and tape it."
)
STEPS: Final = (
    "Print all pages at 100 % (actual size), not fitted to the page, on one side.",
    "Lay a steel ruler along both 10 cm rulers of a page. Where one is more than 1 mm off, print again at the scale "
    "that mends it: at 103 % where it is 97 mm long.",
    TAPING,
    "Lay the mat on the sheet, the camera's line towards the camera, the sheet's edges on their lines.",
    "Set up the camera on its line. Stand the model on its outline, its front along the arrow.",
    "Lamps: hang a nut on a thread from the middle of the lamp's face; it has to point at the cross, wherever the "
    "stand is. Then height and tilt.",
    "Cards: the lower edge on its thick line, the face the way its arrow points.",
    "Take the mat away before the picture: white paper bounces light. Mark with bits of tape what has to be lifted.",
)


def draw_overview(marks: Sequence[Mark], tiling: Tiling, title: str, paper: Paper) -> list[Figure]:
    """Return the first page, and more where the list of marks is long."""
    flow = Flow(paper)
    width, count = flow.inner.width, len(tiling.cells)
    flow.write(Column(0, width, HEADING, f"Mat at 1:1 for {title}"))
    pages = "1 page with" if count == 1 else f"{count} pages to tape together, with"
    flow.write(Column(0, width, TEXT, f"{pages} the marks on the table as they are seen from above"))
    left, right = (1 - MAP_SHARE) * width, flow.inner.right
    top = flow.top
    steps = STEPS if count > 1 else [step for step in STEPS if step != TAPING]
    for number, step in enumerate(steps, 1):
        flow.write(Column(0, NUMBER_CM, TEXT, f"{number}."), Column(NUMBER_CM, left, TEXT, step))
    drawn = draw_map(flow.pages[0], marks, tiling, Box(flow.inner.left + left + APART_CM, flow.top, right, top))
    flow.top = min(flow.top, drawn.bottom) - APART_CM
    flow.write(Column(0, PAGE_CM, NAME, "page"), Column(PAGE_CM, MARK_CM, NAME, "mark"))
    for mark in marks:
        flow.write(
            Column(0, PAGE_CM, TEXT, _page_of(mark, tiling)), Column(PAGE_CM, MARK_CM - APART_CM, NAME, mark.name),
            Column(MARK_CM, width, TEXT, _words(mark, tiling)),
        )  # fmt: skip
    return [page_of(page) for page in flow.pages]


def _page_of(mark: Mark, tiling: Tiling) -> str:
    """Return the page that a mark is named on."""
    anchor = anchor_of(mark, tiling)
    return "" if anchor is None else page_name(tiling.cell_of(anchor))


def _words(mark: Mark, tiling: Tiling) -> str:
    arrow = arrow_to(mark, tiling)
    beyond = [] if arrow is None else [f"{length_words(arrow.rest_cm)} beyond the tip of its arrow"]
    spot = [ground_words(mark.at_cm, half_cm)] if mark.has_cross and mark.at_cm.any() else []
    return "; ".join([*beyond, *spot, *mark.words])
