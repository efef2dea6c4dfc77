"""The setup of the lamps that an arrangement fixes by hand: each where its `at_cm` and `aim_cm` say."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import ArrangementError, InputError
from scenes.lamps.lamp import Lamp
from scenes.stage.backdrop import Sweep, lay_sweep
from scenes.stage.viewpoint import look_over_table
from scenes.subject.enclosure import is_enclosed
from scenes.subject.subject import Subject

from .place import Place
from .placed import AS_PLACED, EMPTY_TABLE_CM, PlacedLamp, PlacedSetup
from .placement.collisions import TOUCH_CM, card_body, collisions, lamp_body
from .placement.hanging import hangs
from .staging import stage_of

SAME_POINT_CM: Final = 1e-6
"""Two points nearer to one another count as one."""


def place_fixed_lamps(arrangement: ResolvedArrangement, aspect: float | None) -> PlacedSetup:
    """Return the setup of the lamps fixed by hand, round the subject or over an empty table.

    Raises
    ------
    InputError
        Where no lamp is fixed, or one is inside the subject, the backdrop, another lamp or a card.
    """
    if not arrangement.fixed_lamps:
        raise InputError("setup 'as-placed' needs a lamp with at_cm and aim_cm in the arrangement")
    subject, declared, stage = arrangement.subject, arrangement.declared, None
    if subject is not None:
        stage = stage_of(arrangement, arrangement.faces_deg, aspect)
        view, sweep, hero = stage.view, stage.sweep, stage.hero_cm
    else:
        view = look_over_table(declared.camera, aspect)
        sweep, hero = lay_sweep(declared.backdrop, EMPTY_TABLE_CM, view), (0.0, 0.0, 0.0)
    lamps, roles = [], _roles(arrangement.fixed_lamps)
    for i, lamp in enumerate(arrangement.fixed_lamps):
        place = Place(lamp.model.at_cm or (0, 0, 0), lamp.model.aim_cm or (0.0, 0.0, 0.0), _is_upright(lamp))
        _refuse_impossible(lamp, place, subject, sweep)
        on_arm = stage is not None and hangs(place, stage)
        lamps.append(PlacedLamp(roles[i], lamp, place, lamp.model.dimmer, hangs=on_arm))
    cards = arrangement.placed_cards
    lamp_bodies = [lamp_body(lamp.lamp, lamp.place) for lamp in lamps]
    for collision in collisions(lamp_bodies, [card_body(card) for card in cards]):
        raise ArrangementError(collision)
    return PlacedSetup(
        AS_PLACED, "your own lamps where you put them", subject, view, sweep,
        declared.backdrop, hero, tuple(lamps), cards, (), facing_deg=arrangement.faces_deg, kind=arrangement.kind,
    )  # fmt: skip


def _roles(lamps: Sequence[Lamp]) -> list[str]:
    """Return the role of each lamp: its own, else "key" of the first, where none has it, and "lamp 2" and so on."""
    has_key = any(lamp.model.role == "key" for lamp in lamps)
    return [lamp.model.role or ("key" if i == 0 and not has_key else f"lamp {i + 1}") for i, lamp in enumerate(lamps)]


def _is_upright(lamp: Lamp) -> bool:
    width, height = lamp.extent_cm
    return height > width if lamp.model.upright is None else lamp.model.upright


def _refuse_impossible(lamp: Lamp, place: Place, subject: Subject | None, sweep: Sweep | None) -> None:
    if math.dist(place.at_cm, place.aim_cm) < SAME_POINT_CM:
        raise ArrangementError(f"lamp '{lamp.name}': at_cm and aim_cm are the same point; aim it at something else")
    body = lamp_body(lamp, place)
    if sweep is not None and sweep.clearance_cm(body.points()) < -SAME_POINT_CM:
        raise ArrangementError(
            f"lamp '{lamp.name}': at_cm = {list(place.at_cm)} puts part of it below the table or behind the "
            "backdrop; raise it or bring it nearer"
        )
    if subject is None:
        return
    points = subject.surface_points(4000).astype(float)
    if body.distance(points).min() < TOUCH_CM or is_enclosed(place.at_cm, subject):
        low, high = subject.bounds_cm
        raise ArrangementError(
            f"lamp '{lamp.name}': at_cm = {list(place.at_cm)} stands inside the subject, which reaches from "
            f"{[round(float(v), 1) for v in low]} to {[round(float(v), 1) for v in high]} cm; move it clear"
        )
