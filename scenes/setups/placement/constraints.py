"""The constraints on where a lamp or card stands: each a margin in cm, negative where it is broken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from scenes.geometry import axes_facing
from scenes.subject.enclosure import is_enclosed

from .bodies import Bodies
from .collisions import TOUCH_CM, gap_cm
from .frustum import FRAME_MARGIN, margin_outside
from .surroundings import Surroundings

TABLE_GAP_CM: Final = 0.5
SHEET_GAP_CM: Final = 1.0
BODY_GAP_CM: Final = 1.0
LIGHT_GAP_CM: Final = 1.0
"""Beside the line from the hero to the middle of a lamp."""
LENS_GAP_CM: Final = 8.0
"""A lens with its hood and the hand that focuses it (common practice, no source)."""
HIDING_GRID: Final = 9
"""Points along a side of a body that is to be hidden."""
SIGHT_GRIDS: Final = (3, 7, 25)
"""Points along its side, all of which have to be hidden in the end: few first, which tell of most that one is seen."""
FREE: Final = 1e6
"""The margin where nothing is near, cm."""

Margin = Callable[[Bodies, Surroundings], Vector]


@dataclass(frozen=True)
class Constraint:
    """A constraint on bodies.

    Parameters
    ----------
    name
        What it asks for.
    margin
        By how much (n,) each of the bodies meets it, cm; negative by how much it is broken.
    would
        What a body that breaks it would do, after "it would".
    does
        What a body that breaks it does, after its name.
    remedy
        What mends that.
    right
        What would be right for a lamp fixed by hand, with the distance that is missing; None where it is refused,
        or said elsewhere.
    """

    name: str
    margin: Margin
    would: str
    does: str
    remedy: str
    right: str | None = None


def above_table(bodies: Bodies, _: Surroundings) -> Vector:
    """Return the height of the lowest point over what a foot or a clamp takes."""
    return bodies.lowest_cm - TABLE_GAP_CM


def before_sheet(bodies: Bodies, around: Surroundings) -> Vector:
    """Return the distance from curve and wall of the sheet over what a stand takes; over its top it may stand behind.

    Before them is convex, so the corners of a board tell.
    """
    sweep = around.stage.sweep
    if sweep is None:
        return np.full(len(bodies), FREE)
    points = bodies.corners.reshape(-1, 3)
    curves = points[:, 1] > sweep.wall_cm - sweep.radius_cm
    depths = np.where(curves, sweep.depths_behind(points), points[:, 1] - sweep.wall_cm)
    before = -depths.reshape(len(bodies), -1).max(axis=1) - (bodies.radius_cm if bodies.is_ball else 0.0)
    return np.asarray(np.maximum(before - SHEET_GAP_CM, bodies.lowest_cm - sweep.height_cm))


def inside_room(bodies: Bodies, around: Surroundings) -> Vector:
    """Return the distance from the limits of the room."""
    directions, limits = around.room_limits()
    if not len(limits):
        return np.full(len(bodies), FREE)
    return np.asarray((limits - bodies.at_cm @ directions.T - bodies.reach(directions)).min(axis=1))


def clear_of_lens(bodies: Bodies, around: Surroundings) -> Vector:
    """Return the distance from the lens over what it takes."""
    return np.asarray(bodies.distance(np.asarray(around.stage.view.at_cm)) - LENS_GAP_CM)


def out_of_frame(bodies: Bodies, around: Surroundings) -> Vector:
    """Return the distance from the frame's pyramid; where it may hide, the depth in the silhouette if that is more."""
    margin = margin_outside(bodies, around.stage.view)
    seen = np.flatnonzero(margin < 0)
    if around.hidden and len(seen):
        margin[seen] = np.maximum(margin[seen], hidden_behind_subject(bodies[seen], around))
    return margin


def hidden_behind_subject(bodies: Bodies, around: Surroundings) -> Vector:
    """Return how far all of it lies behind the subject and inside its silhouette."""
    points = bodies.spread(HIDING_GRID)
    cover = around.stage.silhouette.cover_cm(points.reshape(-1, 3))
    return np.asarray(cover.reshape(len(bodies), -1).min(axis=1))


def out_of_sight(bodies: Bodies, around: Surroundings) -> Vector:
    """Return, of bodies in the frame that the subject may hide, a negative margin for those that the lens sees part of.

    A body counts as a little larger than it is, as the frame does: it is never put up exactly.
    """
    margin = np.full(len(bodies), FREE)
    if around.hidden:
        grown = replace(bodies, size_cm=FRAME_MARGIN * bodies.size_cm)
        hides = around.stage.occluder.hides
        for i in np.flatnonzero(margin_outside(bodies, around.stage.view) < 0):
            if not all(hides(grown[i : i + 1].spread(count)[0]) for count in SIGHT_GRIDS):
                margin[i] = -bodies.radius_cm[i]
    return margin


def in_sight_of_hero(bodies: Bodies, around: Surroundings) -> Vector:
    """Return how far the line from the hero to its centre passes over the sheet and beside opaque cards."""
    margin = _over_sheet(bodies, around)
    for screen in around.screens:
        axes = axes_facing(screen.facing)
        start, ends = ((points - screen.at_cm) @ axes for points in (np.asarray(around.stage.hero_cm), bodies.at_cm))
        margin = np.minimum(margin, _passing(np.broadcast_to(start, ends.shape), ends, np.asarray(screen.size_cm)))
    return margin


def out_of_light(bodies: Bodies, around: Surroundings) -> Vector:
    """Return how far a card stays beside the lines from the hero to the lamps."""
    hero = np.asarray(around.stage.hero_cm)
    margin = np.full(len(bodies), FREE)
    for lamp in around.lit_from:
        start, end = (np.einsum("ni,nij->nj", at - bodies.at_cm, bodies.axes) for at in (hero, np.asarray(lamp)))
        margin = np.minimum(margin, _passing(start, end, bodies.size_cm))
    return margin


def clear_of_model(bodies: Bodies, around: Surroundings) -> Vector:
    """Return the distance from the model over the clearance that is asked for; inside a hollow one, none."""
    subject = around.stage.subject
    most = np.array([0.0 if is_enclosed(at, subject) else FREE for at in bodies.at_cm])
    asked_cm = max(around.clearance_cm, TOUCH_CM)
    return np.asarray(np.minimum(most, model_distance_cm(bodies, around, asked_cm)) - asked_cm)


def middle_near_model(bodies: Bodies, around: Surroundings) -> NDArray[np.bool_]:
    """Return which bodies break `clear_of_model` by their middle alone, (n,): quick to find, and often all."""
    return np.asarray(around.stage.nearest.query(bodies.at_cm)[0] < max(around.clearance_cm, TOUCH_CM))


def no_nearer_than_allowed(bodies: Bodies, around: Surroundings) -> Vector:
    """Return the distance from the model over what the lamp's label asks for."""
    if not around.nearest_cm:
        return np.full(len(bodies), FREE)
    return model_distance_cm(bodies, around, around.nearest_cm) - around.nearest_cm


def clear_of_bodies(bodies: Bodies, around: Surroundings) -> Vector:
    """Return the gap to the nearest other lamp or card."""
    others = (*around.lamps, *around.cards)
    gaps = [[gap_cm(bodies.body(i), other, BODY_GAP_CM) for other in others] for i in range(len(bodies))]
    return np.asarray(gaps).min(axis=1) - BODY_GAP_CM if others else np.full(len(bodies), FREE)


def model_distance_cm(bodies: Bodies, around: Surroundings, asked_cm: float) -> Vector:
    """Return the distance (n,) of each body from points on the model, cm, exact where it is less than is asked for.

    Where its bounding sphere alone is farther away than that, the distance of that.
    """
    apart = np.asarray(around.stage.nearest.query(bodies.at_cm)[0]) - bodies.radius_cm
    for i in np.flatnonzero(apart < asked_cm):
        apart[i] = bodies.body(int(i)).distance(around.stage.points).min()
    return apart


def _over_sheet(bodies: Bodies, around: Surroundings) -> Vector:
    """Return by how much (n,) the lines from the hero to bodies behind the wall clear the top of the sheet, cm."""
    sweep, hero = around.stage.sweep, np.asarray(around.stage.hero_cm)
    if sweep is None:
        return np.full(len(bodies), FREE)
    away = bodies.at_cm - hero
    behind = bodies.at_cm[:, 1] > sweep.wall_cm
    share = (sweep.wall_cm - hero[1]) / np.where(behind, away[:, 1], 1.0)
    return np.where(behind, hero[2] + share * away[:, 2] - sweep.height_cm - LIGHT_GAP_CM, FREE)


def _passing(start: Vector, end: Vector, size_cm: Vector) -> Vector:
    """Return by how much (n,) lines pass clear of a board, cm; ends (n, 3) are in the board's axes from its centre."""
    crosses = start[:, 2] * end[:, 2] < 0
    share = np.where(crosses, start[:, 2] / np.where(crosses, start[:, 2] - end[:, 2], 1.0), 0.0)[:, None]
    at = np.abs((start + share * (end - start))[:, :2])
    return np.where(crosses, (at - size_cm / 2).max(axis=1) - LIGHT_GAP_CM, FREE)


CHEAP: Final = (
    Constraint(
        "above the table", above_table, "reach into the table", "reaches into the table", "take a smaller one"
    ),
    Constraint(
        "before the backdrop", before_sheet, "stand in the backdrop", "stands in the backdrop",
        "move the wall away with backdrop.distance_cm",
    ),
    Constraint(
        "in the room", inside_room, "stand beyond room.clear_cm", "stands beyond room.clear_cm",
        "make room there or take a smaller one",
        "bring it {distance} nearer, or put the limit right",
    ),
    Constraint(
        "clear of the lens", clear_of_lens, f"stand within {LENS_GAP_CM:g} cm of the lens",
        f"stands within {LENS_GAP_CM:g} cm of the lens", "move the camera away with camera.distance_cm",
        "move it {distance} away from the lens",
    ),
    Constraint(
        "out of the frame", out_of_frame, "stand in the frame", "stands in the frame", "take a smaller one",
        "move it {distance} out of it",
    ),
    Constraint(
        "in sight of the hero", in_sight_of_hero, "stand behind a card or the sheet",
        "has a card or the sheet between it and the hero",
        "move what is between",
    ),
    Constraint(
        "out of the light", out_of_light, "keep a lamp from the hero", "keeps a lamp from the hero",
        "take a smaller one",
    ),
)  # fmt: skip
"""Constraints that many bodies are tried by at once."""
DEAR: Final = (
    Constraint(
        "clear of the model", clear_of_model, "come too near to the model", "touches the model", "take a smaller one"
    ),
    Constraint(
        "as far as its label asks", no_nearer_than_allowed, "come nearer to the model than its nearest_cm",
        "stands nearer to the model than its nearest_cm", "take one that may stand nearer",
        "move it {distance} away",
    ),
    Constraint(
        "clear of lamps and cards", clear_of_bodies, "stand in another lamp or a card",
        "stands in another lamp or a card", "take a smaller one",
    ),
    Constraint("out of sight", out_of_sight, "show beside the model", "shows beside the model", "take a smaller one"),
)  # fmt: skip
"""Constraints that bodies are tried by one after the other."""
CONSTRAINTS: Final = (*CHEAP, *DEAR)
