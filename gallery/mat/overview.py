"""The first page of the mat: how to print and tape it, which page lies where, all marks in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from gallery.diagram.lamp_centre import centre_words
from gallery.diagram.measures import HERO, reading_of
from gallery.paper.box import Box
from gallery.paper.flow import Flow
from gallery.paper.page import page_of
from gallery.paper.size import Paper
from gallery.paper.text import Lettering
from scenes.lengths import Reading
from scenes.setups.placed import PlacedSetup
from scenes.setups.placement_words.tape import ground_words

from .arrows import anchor_of, arrow_to
from .map import draw_map
from .marks.mark import Mark
from .marks.stage import SHEET
from .marks.words import length_words
from .tiling import Tiling, page_name

if TYPE_CHECKING:
    from matplotlib.figure import Figure

HEADING: Final = Lettering(15, bold=True)
TEXT: Final = Lettering(10)
APART_CM: Final = 0.15
"""Between steps."""
MAP_SHARE: Final = 0.4
"""Of the width of the page, for the map of the pages."""
COLUMNS: Final = (0.07, 0.245, 0.685)
"""Widths of page, mark and words, of the width of the page."""

LINES: Final = (
    "Thick lines are where model and cards touch the table; dashed ones are what is over it, lamps too, as seen from "
    "straight above; those of dashes and dots are the backdrop sheet. What runs off the mat goes on. "
    f"The hero is {HERO}."
)
PRINTING: Final = (
    "Print all pages at 100 % (actual size), not fitted to the page, on one side.",
    "Lay a steel ruler along both 10 cm rulers of a page. Where one is more than 1 mm off, print again at the scale "
    "that mends it: at 103 % where it is 97 mm long.",
)
TAPING: Final = (
    "Cut pages along their dotted edges. Lay each over the strips of the pages to its left and behind it, so that the "
    "halves of the diamonds meet, and tape it."
)
SETTING_UP: Final = (
    "Lay the mat on the table, the camera's line towards the camera, the sheet's edges on their lines.",
    "Set up the camera on its line. Stand the model on its outline, its front along the arrow.",
)
LAMPS: Final = (
    "Lamps: hang a nut on a thread from the lamp's centre, {centre}; it has to point at the cross, wherever the stand "
    "is. Then height and tilt."
)
CARDS: Final = "Cards: the middle of the lower edge on the cross, along the thick line, facing the way of the arrow."
CLEARING: Final = (
    "Mark with bits of tape what has to be lifted, and take the mat away before the picture: white paper bounces "
    "light, and a hot lamp has to keep the distance to paper that its label asks for."
)


def draw_overview(setup: PlacedSetup, marks: Sequence[Mark], tiling: Tiling, title: str, paper: Paper) -> list[Figure]:
    """Return the first page, and more where the list of marks is long; `title` is the arrangement's."""
    flow = Flow(paper, f"{title}: mat for {setup.name}, 1 : 1", HEADING)
    count, width = len(tiling.cells), flow.inner.width
    flow.paragraph(f"{'1 page' if count == 1 else f'{count} pages to tape together'}. {LINES}", TEXT)
    flow.space(3 * APART_CM)
    top, steps_cm = flow.top, (1 - MAP_SHARE) * width
    taping, cards = [TAPING] if count > 1 else [], [CARDS] if setup.cards else []
    lamps = LAMPS.format(centre=centre_words(setup.lamps))
    for step in (*PRINTING, *taping, *SETTING_UP, lamps, *cards, CLEARING):
        flow.tick(step, TEXT, steps_cm - 3 * APART_CM)
        flow.space(APART_CM)
    room = Box(flow.inner.left + steps_cm, flow.top, flow.inner.right, top)
    drawn = draw_map(flow.pages[0], marks, tiling, room)
    flow.top = min(flow.top, drawn.bottom)
    flow.space(3 * APART_CM)
    rows = [(_page_of(mark, tiling), mark.name, _words(mark, tiling, reading_of(setup))) for mark in marks]
    edges = [f"{name} {words}" for page, name, words in rows if not page and name.startswith(SHEET)]
    rows = [row for row in rows if row[0] or not row[1].startswith(SHEET)]
    rows += [("", "beyond the mat", "; ".join(edges))] if edges else []
    flow.table([("page", "mark", ""), *rows], [share * width for share in COLUMNS], TEXT)
    return [page_of(page) for page in flow.pages]


def _page_of(mark: Mark, tiling: Tiling) -> str:
    """Return the page that a mark is named on."""
    anchor = anchor_of(mark, tiling)
    return "" if anchor is None else page_name(tiling.cell_of(anchor))


def _words(mark: Mark, tiling: Tiling, reading: Reading) -> str:
    arrow = arrow_to(mark, tiling)
    beyond = [] if arrow is None else [f"{length_words(arrow.rest_cm)} beyond the tip of its arrow"]
    spot = [ground_words(mark.at_cm, reading)] if mark.has_cross and mark.at_cm.any() else []
    return "; ".join([*beyond, *spot, *mark.words])
