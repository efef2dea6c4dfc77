"""Warnings about a setup as it is placed round the subject."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from scipy.optimize import brentq

from materials.arrays import Vector
from scenes.arrangement.arrangement import RoomModel
from scenes.geometry import distance_to_board
from scenes.lengths import distance_words, distance_words_up
from scenes.setups.placed import AS_PLACED, PlacedLamp, PlacedSetup
from scenes.setups.placement.bodies import bodies_of
from scenes.setups.placement.collisions import lamp_body
from scenes.setups.placement.constraints import CONSTRAINTS
from scenes.setups.placement.surroundings import surroundings_of_lamp
from scenes.stage.backdrop import edges_in_sight
from scenes.subject.subject import Subject
from scenes.units import stops

from .unlit import unlit_warnings

TOUCH_CM: Final = 0.1
FAR_FIELD_SIZES: Final = 5.0
"""Sizes of a lamp from which inverse square holds within 1 % (five-times rule of the lighting handbooks)."""
STEEPEST_STOPS: Final = 2.0
"""Fall-off of the key over the subject that is not warned of."""
FARTHEST_SIZES: Final = 100.0


def setup_warnings(setup: PlacedSetup, room: RoomModel) -> list[str]:
    """Return what is unwise about a setup in a room, in sentences.

    Lamps that a setup places meet all constraints; those fixed by hand are held to them here.
    """
    name = setup.name
    by_hand = (*_broken_constraints(setup, room), *_fall_off(setup)) if name == AS_PLACED else ()
    return [
        *(f"{name} {shortfall}" for shortfall in setup.shortfalls),
        *_edges(setup),
        *(f"{name}: {warning}" for warning in by_hand),
        *(f"{name}: {warning}" for lamp in setup.lamps for warning in _near_field(lamp, setup)),
        *unlit_warnings(setup),
        *_touching_cards(setup),
    ]


def _edges(setup: PlacedSetup) -> list[str]:
    """Return the edges of the backdrop that the camera sees past."""
    if setup.sweep is None:
        return []
    return [f"the camera sees past the {edge} of the sheet" for edge in edges_in_sight(setup.sweep, setup.view)]


def _broken_constraints(setup: PlacedSetup, room: RoomModel) -> Iterator[str]:
    """Yield a sentence for each constraint that a lamp breaks, with what would be right."""
    if setup.subject is None:
        return
    for i, lamp in enumerate(setup.lamps):
        around = surroundings_of_lamp(setup, i, room)
        bodies = bodies_of(lamp_body(lamp.lamp, lamp.place))
        for constraint in CONSTRAINTS:
            if constraint.right is not None and (margin := float(constraint.margin(bodies, around)[0])) < 0:
                right = constraint.right.format(distance=distance_words_up(-margin))
                yield f"the {lamp.role} ({lamp.name}) {constraint.does}: {right}"


def _near_field(lamp: PlacedLamp, setup: PlacedSetup) -> list[str]:
    """Return a warning where a lamp with measured photometry stands nearer than its far field."""
    if lamp.lamp.model.photometry is None:
        return []
    far_cm = FAR_FIELD_SIZES * max(lamp.lamp.extent_cm)
    distance_cm = float(np.linalg.norm(np.subtract(lamp.place.at_cm, setup.hero_cm)))
    if distance_cm >= far_cm:
        return []
    return [
        f"{lamp.name} stands {distance_words(distance_cm)} from what it lights; its photometric file was measured from "
        f"afar and holds from {distance_words(far_cm)} on"
    ]


def _touching_cards(setup: PlacedSetup) -> list[str]:
    if setup.subject is None:
        return []
    points = setup.subject.surface_points(2000).astype(float)
    return [
        f"the card '{card.name}' touches the subject"
        for card in setup.cards
        if distance_to_board(points, card.at_cm, card.facing, card.size_cm).min() < TOUCH_CM
    ]


def _fall_off(setup: PlacedSetup) -> list[str]:
    """Return a warning where the key's inverse-square fall-off over the subject is steep."""
    if setup.subject is None:
        return []
    hero, key = np.asarray(setup.hero_cm), np.asarray(setup.lamps[0].place.at_cm)
    under = _stops_under(setup.subject, key)
    if under <= STEEPEST_STOPS:
        return []
    towards = (key - hero) / np.linalg.norm(key - hero)
    near_cm, far_cm = float(np.linalg.norm(key - hero)), FARTHEST_SIZES * setup.subject.size_cm
    right_cm = brentq(lambda cm: _stops_under(setup.subject, hero + cm * towards) - 1.0, near_cm, far_cm)
    return [
        f"the key is so near that the subject's far side is {under:.1f} stops under; {distance_words(right_cm)} from "
        "the hero it would be one stop"
    ]


def _stops_under(subject: Subject, lamp_cm: Vector) -> float:
    """Return by how many stops the farthest point of a subject gets less light than the nearest, by inverse square."""
    squared = ((subject.surface_points(500) - lamp_cm) ** 2).sum(axis=1)
    return stops(float(squared.max() / squared.min()))
