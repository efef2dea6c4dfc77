"""The stage as drawn: table, sheet with its bend, centre mark, camera with its field of view, model and its front."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from materials.arrays import Vector
from scenes.geometry import direction_round
from scenes.setups.placed import PlacedSetup

from .outline import outline_of
from .sheet import drawn_sheet
from .view import CENTRE_LINE, DASHED, DOTTED, MIDDLE, THICK, THIN, View

MARK_CM: Final = 0.16
"""Radius of the centre mark on the page."""
LENS_CM: Final = 0.08
HERO_CM: Final = 0.12
BLANK_CM: Final = 0.28
"""Radius round the hero in which the model is not hatched."""
FRONT_SIZES: Final = 0.75
"""Length of the arrow that points to the model's front, in sizes of the model."""
TOOTH_CM: Final = 0.35
"""Of the jagged lines where something is not drawn."""
GAP_CM: Final = 0.2
"""Between the two of them where a stretch is left out."""


def draw_stage(view: View, setup: PlacedSetup) -> None:
    """Draw everything of a setup but its lamps and cards."""
    extent, from_above = view.extent, view.projection.side == "above"
    if from_above:
        _axis(view, (0.0, -1.0), (0.0, 1.0))
        _axis(view, (-1.0, 0.0), (1.0, 0.0))
    else:
        view.page_line([view.at_flat(extent.left, 0.0), view.at_flat(extent.right, 0.0)], MIDDLE)
        _axis(view, (0.0, -1.0), (0.0, 1.0))
    _draw_sheet(view, setup, from_above=from_above)
    _draw_field(view, setup, from_above=from_above)
    if setup.subject is not None:
        view.outline(outline_of(setup.subject, view.projection))
    _draw_points(view, setup)
    if from_above and setup.subject is not None:
        view.arrow(view.on_page([[0.0, 0.0, 0.0]])[0], front_at(view, setup))


def front_at(view: View, setup: PlacedSetup) -> Vector:
    """Return the end (2,) of the arrow that points to the model's front, on the page."""
    return np.asarray(view.on_page(FRONT_SIZES * setup.size_cm * direction_round(setup.facing_deg, 0.0))[0])


def draw_gap(view: View) -> None:
    """Draw two jagged lines where a stretch is left out, over all else."""
    gap, frame = view.projection.gap, view.frame
    if gap is None:
        return
    middle = view.on_page([[0.0, gap.end_cm, 0.0]])[0]
    if view.projection.side == "above":
        start, end, away = np.array([frame.left, middle[1]]), np.array([frame.right, middle[1]]), (0.0, GAP_CM / 2)
    else:
        start, end, away = np.array([middle[0], frame.bottom]), np.array([middle[0], frame.top]), (GAP_CM / 2, 0.0)
    sides = [_jagged(start - away, end - away), _jagged(start + away, end + away)]
    view.axes.fill(*np.vstack([sides[0], sides[1][::-1]]).T, color="white", linewidth=0, zorder=2.5)
    for side in sides:
        view.page_line(side, MIDDLE, zorder=2.6)


def _jagged(start: Vector, end: Vector) -> Vector:
    """Return a jagged line (n, 2) between two points of the page: what it ends goes on."""
    along = np.subtract(end, start)
    count = 2 * max(1, round(float(np.linalg.norm(along)) / TOOTH_CM / 2)) + 1
    across = np.array([-along[1], along[0]]) / np.linalg.norm(along)
    teeth = np.tile([-1.0, 1.0], count)[:count, None] * TOOTH_CM / 4 * across
    return np.asarray(start + np.linspace(0, 1, count)[:, None] * along + teeth)


def _axis(view: View, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Draw a centre line through the mark, to both edges of the view."""
    extent = view.extent
    ends = [
        view.at_flat(
            {-1.0: extent.left, 0.0: view.centre[0], 1.0: extent.right}[x],
            {-1.0: extent.bottom, 0.0: view.centre[1], 1.0: extent.top}[y],
        )
        for x, y in (start, end)
    ]
    view.page_line(ends, THIN, linestyle=CENTRE_LINE)


def _draw_sheet(view: View, setup: PlacedSetup, *, from_above: bool) -> None:
    sweep, drawn = setup.sweep, drawn_sheet(setup)
    if sweep is None or drawn is None:
        return
    if not from_above:
        profile, _ = replace(sweep, height_cm=drawn.height_cm).profile()
        line = view.on_page(np.column_stack([np.zeros(len(profile)), profile]))
        view.page_line(line, THICK)
        if drawn.is_higher:
            view.page_line(_jagged(line[-1] - (2 * TOOTH_CM, 0.0), line[-1] + (2 * TOOTH_CM, 0.0)), MIDDLE)
        return
    half, bend = drawn.half_cm, sweep.wall_cm - sweep.radius_cm
    stations = [(x, y, 0.0) for y in (-sweep.front_cm, sweep.wall_cm) for x in (-half, half)]
    front_left, front_right, back_left, back_right = view.on_page(stations)
    for level in ((front_left, front_right), (back_left, back_right)):
        view.page_line(level, MIDDLE)
    for side in ((front_left, back_left), (front_right, back_right)):
        view.page_line(_jagged(*side) if drawn.is_wider else side, MIDDLE)
    view.line((-half, bend, 0.0), (half, bend, 0.0), THIN, linestyle=DASHED)


def _draw_field(view: View, setup: PlacedSetup, *, from_above: bool) -> None:
    """Draw the edges of the camera's field of view, as far as the wall, the table or the edge of the view."""
    seen, at = setup.view, np.asarray(setup.view.at_cm)
    ways = seen.rays(*np.array([(-1.0, 0.0), (1.0, 0.0)] if from_above else [(0.0, -1.0), (0.0, 1.0)]).T)
    for way in ways:
        view.line(at, at + _reach(view, setup, way, from_above=from_above) * way, MIDDLE, linestyle=DOTTED)


def _reach(view: View, setup: PlacedSetup, way: Vector, *, from_above: bool) -> float:
    """Return how far a ray from the camera is drawn, cm."""
    x, y, z = setup.view.at_cm
    top = view.extent.top
    back = setup.sweep.wall_cm if setup.sweep else max(top if from_above else abs(view.extent.right), 0.0)
    limits = [(back - y, way[1])]
    if from_above:
        limits += [(view.extent.right - x, way[0]), (view.extent.left - x, way[0])]
    else:
        limits += [(top - z, way[2]), (-z, way[2])]
    return min(float(far / step) for far, step in limits if far * step > 0)


def _draw_points(view: View, setup: PlacedSetup) -> None:
    """Draw the centre mark, the hero and the lens."""
    from matplotlib.patches import Circle

    mark, hero, lens = view.on_page([(0.0, 0.0, 0.0), setup.hero_cm, setup.view.at_cm])
    for point, radius, filled in ((mark, MARK_CM, False), (lens, LENS_CM, True)):
        view.axes.add_patch(Circle(tuple(point), radius, fill=filled, color="black", linewidth=MIDDLE, zorder=2.8))
    if setup.subject is not None:
        view.axes.add_patch(Circle(tuple(hero), BLANK_CM, facecolor="white", edgecolor="none", zorder=1.5))
    for x, y in ((1, 1), (1, -1)):
        step = HERO_CM * np.array([x, y])
        view.page_line([hero - step, hero + step], MIDDLE, zorder=2.8)
