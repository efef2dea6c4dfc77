"""The drawing of a setup: plan and side view, one above the other, to one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from gallery.diagram.items import Item, items_of
from gallery.diagram.measures import front_words, tilt_words
from gallery.paper.box import Box
from gallery.paper.text import Lettering
from scenes.geometry import round_and_rise
from scenes.lengths import string_reading
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.setups.placement_words.lamp import tilt_deg

from .distances import Distance, plan_distances, side_distances
from .labels import Label, write_labels
from .lamps_and_cards import draw_item
from .layout import Layout, extent_of, layout_of
from .ordinates import JOG_CM, Edge, Ordinate, nearer_edge, width_cm, write_ordinates
from .ordinates import LETTERING as DISTANCES
from .projection import Projection
from .stage import draw_gap, draw_stage, front_at
from .view import View

if TYPE_CHECKING:
    from matplotlib.axes import Axes

TITLE: Final = Lettering(11, bold=True)
BAND_CM: Final = JOG_CM + DISTANCES.line_cm
"""Height of the distances above and below the plan."""
SPACE_CM: Final = 0.3
"""Between the two views, and below their titles."""
LONGEST_NAME: Final = 22
"""Characters of a name in the drawing; the table has all of it."""


@dataclass(frozen=True, eq=False)
class Drawing:
    """Both views as drawn."""

    plan: View
    side: View
    layout: Layout


def draw_views(axes: Axes, setup: PlacedSetup, within: Box) -> Drawing:
    """Draw plan and side view inside a box of the page."""
    of_plan, of_side = plan_distances(setup), side_distances(setup)
    bands = [_bands_cm(of_plan), _bands_cm(of_side)]
    title = TITLE.line_cm + SPACE_CM
    heights = 2 * title + 2 * BAND_CM + 2 * SPACE_CM
    layout = layout_of(setup, (within.width, within.height - heights), (sum(bands[0]), sum(bands[1])))
    plan, side = (extent_of(setup, projection) for projection in (layout.plan, layout.side))
    spare = within.height - heights - (plan.height + side.height) / layout.scale
    top = within.top - title - BAND_CM - spare / 3
    upper = View(axes, layout.plan, layout.scale, _corner(within, bands[0], plan, layout.scale, top), plan)
    lower_top = upper.frame.bottom - BAND_CM - SPACE_CM - title - spare / 3
    lower = View(axes, layout.side, layout.scale, _corner(within, bands[1], side, layout.scale, lower_top), side)
    _draw(
        upper, setup, of_plan, Box(within.left, upper.frame.bottom - BAND_CM, within.right, upper.frame.top + BAND_CM)
    )
    _draw(lower, setup, of_side, Box(within.left, lower.frame.bottom - SPACE_CM, within.right, lower.frame.top))
    TITLE.write_lines(axes, within.left, upper.frame.top + BAND_CM + title, "from above")
    TITLE.write_lines(axes, within.left, lower.frame.top + title, f"from {layout.side.side}")
    return Drawing(upper, lower, layout)


def _bands_cm(distances: Sequence[Distance]) -> tuple[float, float]:
    """Return how wide the distances to the left and to the right of a view may be."""
    return (
        width_cm([d.words for d in distances if d.axis != "across"]),
        width_cm([d.words for d in distances if d.axis != "across" and not d.is_of_stage]),
    )


def _corner(within: Box, bands_cm: tuple[float, float], extent: Box, scale: float, top: float) -> tuple[float, float]:
    """Return the lower left corner of a view below `top`, in the middle between its bands."""
    left, right = within.left + bands_cm[0], within.right - bands_cm[1]
    return (left + right - extent.width / scale) / 2, top - extent.height / scale


def _draw(view: View, setup: PlacedSetup, distances: Sequence[Distance], within: Box) -> None:
    draw_stage(view, setup)
    items = items_of(setup)
    for item in items:
        draw_item(view, item, setup)
    draw_gap(view)
    taken = write_ordinates(view, [_ordinate(view, distance) for distance in distances], within)
    labels = [_label(view, item, setup) for item in items]
    write_labels(view, [*labels, *_stage_labels(view, setup)], within, taken)


def _ordinate(view: View, distance: Distance) -> Ordinate:
    at = view.on_page([distance.at_cm])[0]
    if distance.axis == "along" and distance.is_of_stage:
        return Ordinate(distance.words, at, "left")
    edges: tuple[Edge, Edge] = ("bottom", "top") if distance.axis == "across" else ("left", "right")
    return Ordinate(distance.words, at, nearer_edge(at, view.frame, *edges))


def _label(view: View, item: Item, setup: PlacedSetup) -> Label:
    name = item.name if len(item.name) <= LONGEST_NAME else f"{item.name[: LONGEST_NAME - 1]}…"
    text = "\n".join([f"{item.mark} {name}", *_second_line(view.projection, item, setup)])
    return Label(text, view.on_page([item.at_cm])[0], short=item.mark)


def _second_line(projection: Projection, item: Item, setup: PlacedSetup) -> list[str]:
    """Return what a label says below the name of a lamp: its string from above, its tilt from the side."""
    if not isinstance(item.thing, PlacedLamp):
        return []
    if projection.side != "above":
        return [tilt_words(tilt_deg(item.thing))]
    return [f"string {string_reading(math.dist(item.thing.place.at_cm, setup.hero_cm)):g}"]


def _stage_labels(view: View, setup: PlacedSetup) -> list[Label]:
    lens, hero = view.on_page([setup.view.at_cm, setup.hero_cm])
    labels = [
        Label(_lens_words(view.projection, setup), lens),
        *([Label("hero", hero)] if setup.subject is not None else []),
    ]
    if view.projection.side == "above" and setup.subject is not None:
        labels.append(Label(front_words(setup.facing_deg), front_at(view, setup)))
    if view.projection.gap is not None:
        gap = view.projection.gap
        at = view.on_page([(0.0, gap.end_cm, 0.0)])[0]
        labels.append(Label(f"{gap.length_cm:.0f} cm not drawn", at))
    return labels


def _lens_words(projection: Projection, setup: PlacedSetup) -> str:
    """Return what the lens is called: from the side, with the tilt of the camera."""
    if projection.side == "above":
        return "lens"
    return f"lens\n{tilt_words(round_and_rise(np.subtract(setup.view.aim_cm, setup.view.at_cm))[1])}"
