"""The bounds that a placed lamp or card has to keep, each a function from a scene to what breaks it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np

from materials.arrays import Array
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.setups.placed import PlacedLamp, PlacedSetup

from .bodies import Body, Solid, card_body, lamp_body, solid_of
from .camera import is_in_frame, is_met, projected
from .rays import are_crossed
from .sheet import depth_behind, sheet_triangles
from .wanted import wanted_things

ROUNDING_CM: Final = 0.1
"""Places are rounded to a millimetre, as a tape measure reads."""
TOUCH_CM: Final = 0.1
LENS_CM: Final = 3.0
"""Half the width of a phone, which has the lens in it."""
POLE_STEPS: Final = 40
EDGE: Final = 0.98
"""Of the frame, beyond which it does not matter whether a stand is seen."""


@dataclass(frozen=True, eq=False)
class Scene:
    """A placed setup as bodies: its lamps and own cards with the clearance that its file asks for, and fixed cards."""

    arrangement: ResolvedArrangement
    placed: PlacedSetup
    solid: Solid
    lamps: list[tuple[PlacedLamp, Body, float]]
    own_cards: list[tuple[Body, float]]
    fixed_cards: list[Body]

    @property
    def placed_bodies(self) -> list[tuple[Body, float]]:
        """Lamps and cards that the setup placed, with the clearance asked for."""
        return [(body, clearance) for _, body, clearance in self.lamps] + self.own_cards


def scene_of(arrangement: ResolvedArrangement, placed: PlacedSetup, solid: Solid | None = None) -> Scene:
    """Return the bodies of a setup that was placed."""
    assert placed.subject is not None
    clearances = {wanted.role: wanted.clearance_cm for wanted in wanted_things(placed.name)}
    fixed = sum(card.at_cm is not None for card in arrangement.declared.cards)
    return Scene(
        arrangement, placed, solid or solid_of(placed.subject),
        [(lamp, lamp_body(lamp), clearances[lamp.role]) for lamp in placed.lamps],
        [(card_body(card), clearances[card.name]) for card in placed.cards[fixed:]],
        [card_body(card) for card in placed.cards[:fixed]],
    )  # fmt: skip


def breaches(scene: Scene) -> list[str]:
    """Return a sentence for each bound that a placed body breaks."""
    return [sentence for bound in BOUNDS for sentence in bound(scene)]


def _on_the_sheet(scene: Scene) -> Iterator[str]:
    for body, _ in scene.placed_bodies:
        lowest = float(body.points[:, 2].min())
        if lowest < 0:
            yield f"{body.name} reaches {-lowest:.2f} cm below the table"
        if scene.placed.sweep is not None:
            behind = float(depth_behind(scene.placed.sweep, body.points).max())
            if behind > 0:
                yield f"{body.name} reaches {behind:.2f} cm behind the sheet"


def _in_the_frame(scene: Scene) -> Iterator[str]:
    lens = np.asarray(scene.placed.view.at_cm, float)
    for lamp, body, _ in scene.lamps:
        seen = body.points[is_in_frame(scene.placed.view, body.points)]
        if lamp.hidden:
            bare = ~are_crossed(lens[None], body.points, _before(scene, body))
            if bare.any():
                yield f"{body.name} is called hidden, and {100 * bare.mean():.0f} % of it has no model before it"
        elif len(seen) or is_met(scene.placed.view, body.triangles):
            yield f"{body.name} is in the frame: {100 * len(seen) / len(body.points):.0f} % of it"
    for body, _ in scene.own_cards:
        share = is_in_frame(scene.placed.view, body.points).mean()
        if share or is_met(scene.placed.view, body.triangles):
            yield f"{body.name} is in the frame: {100 * share:.0f} % of it"


def _clear_of_the_model(scene: Scene) -> Iterator[str]:
    for body, clearance in scene.placed_bodies:
        gap = scene.solid.distance(body, clearance)
        if gap < clearance - ROUNDING_CM:
            yield f"{body.name} is {gap:.2f} cm from the model, {clearance:g} cm asked for"
        if scene.solid.encloses(body.centre):
            yield f"{body.name} is inside the model"
    for lamp, body, _ in scene.lamps:
        nearest = getattr(lamp.lamp.model, "nearest_cm", None)
        if nearest is None:
            continue
        gap = scene.solid.distance(body, nearest)
        if gap < nearest - ROUNDING_CM:
            yield f"{body.name} is {gap:.2f} cm from the model, its label asks for {nearest:g} cm"


def _clear_of_each_other(scene: Scene) -> Iterator[str]:
    lamps = [body for _, body, _ in scene.lamps]
    cards = [body for body, _ in scene.own_cards] + scene.fixed_cards
    for one, other in (*combinations(lamps, 2), *((lamp, card) for lamp in lamps for card in cards)):
        gap = one.gap(other)
        if gap < TOUCH_CM:
            yield f"{one.name} and {other.name} are {gap:.2f} cm apart"


def _before_the_lens(scene: Scene) -> Iterator[str]:
    lens = np.asarray(scene.placed.view.at_cm, float)
    for body, _ in scene.placed_bodies:
        blocked = are_crossed(lens[None], scene.solid.points[::100], body.triangles)
        if blocked.any():
            yield f"{body.name} stands between lens and model: {100 * blocked.mean():.0f} % of it"
        gap = float(body.distances(lens[None])[0])
        if gap < LENS_CM:
            yield f"{body.name} is {gap:.2f} cm from the lens"


def _within_the_room(scene: Scene) -> Iterator[str]:
    clear = getattr(scene.arrangement.declared.room, "clear_cm", None)
    if clear is None:
        return
    for body, _ in scene.placed_bodies:
        x, y, z = body.points.T
        for side, limit, reach in (
            ("left", clear.left, -x), ("right", clear.right, x), ("behind", clear.behind, y),
            ("front", clear.front, -y), ("above", clear.above, z),
        ):  # fmt: skip
            if limit is not None and reach.max() > limit:
                yield f"{body.name} reaches {reach.max():.2f} cm {side}, {limit:g} cm are clear"


def _seen_from_the_hero(scene: Scene) -> Iterator[str]:
    hero = np.asarray(scene.placed.hero_cm, float)
    obstacles = [*scene.fixed_cards, *(body for body, _ in scene.own_cards)]
    for _, body, _ in scene.lamps:
        for card in obstacles:
            if are_crossed(hero[None], body.centre[None], card.triangles).any():
                yield f"{card.name} stands between the hero and {body.name}"
        sweep = scene.placed.sweep
        if sweep is not None and are_crossed(hero[None], body.centre[None], sheet_triangles(sweep)).any():
            yield f"the sheet stands between the hero and {body.name}"


def _stand_in_the_frame(scene: Scene) -> Iterator[str]:
    lens, view = np.asarray(scene.placed.view.at_cm, float), scene.placed.view
    for lamp, body, _ in scene.lamps:
        pole = body.centre * np.column_stack([np.ones((POLE_STEPS, 2)), np.linspace(0, 1, POLE_STEPS)])
        if scene.placed.sweep is not None:
            pole = pole[depth_behind(scene.placed.sweep, pole) <= 0]
        pole = pole[is_in_frame(view, pole, EDGE)]
        if not lamp.hangs and len(pole) and not are_crossed(lens[None], pole, scene.solid.triangles).all():
            yield f"{body.name} has its stand in the frame, and is not said to hang"


BOUNDS: Final = (
    _on_the_sheet, _in_the_frame, _clear_of_the_model, _clear_of_each_other, _before_the_lens, _within_the_room,
    _seen_from_the_hero, _stand_in_the_frame,
)  # fmt: skip


def _before(scene: Scene, body: Body) -> Array:
    """Return the model's triangles that may lie before a body: those whose projections overlap its own."""
    triangles = scene.solid.triangles
    x, y, depth = (value.reshape(-1, 3) for value in projected(scene.placed.view, triangles.reshape(-1, 3)))
    bx, by, _ = projected(scene.placed.view, body.points)
    near = (x.max(1) >= bx.min()) & (x.min(1) <= bx.max()) & (y.max(1) >= by.min()) & (y.min(1) <= by.max())
    return np.asarray(triangles[near & (depth.max(1) > 0)])
