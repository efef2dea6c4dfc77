"""Warnings about a setup as it stands round the subject."""

from __future__ import annotations

from typing import Final

import numpy as np

from scenes.geometry import distance_to_board
from scenes.setups.collisions import card_body, collisions, lamp_body
from scenes.setups.place import in_frame
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.stage.backdrop import edges_in_sight
from scenes.units import stops

from .unlit import unlit_warnings

TOUCH_CM: Final = 0.1
FAR_FIELD_SIZES: Final = 5.0
"""Sizes of a lamp from which inverse square holds within 1 % (five-times rule of the lighting handbooks)."""
STEEPEST_STOPS: Final = 2.0
"""Fall-off of the key over the subject that is not warned of."""


def setup_warnings(setup: PlacedSetup) -> list[str]:
    """Return what is unwise about a setup, in sentences."""
    name = setup.name
    lamps = [lamp_body(lamp.lamp, lamp.place) for lamp in setup.lamps]
    cards = [card_body(card) for card in setup.cards]
    return [
        *(f"{name} {shortfall}" for shortfall in setup.shortfalls),
        *_edges(setup),
        *(f"{name}: the {lamp.role} ({lamp.name}) stands in the frame" for lamp in _lamps_in_frame(setup)),
        *(f"{name}: {collision}" for collision in collisions(lamps, cards)),
        *(f"{name}: {warning}" for lamp in setup.lamps for warning in _near_field(lamp, setup)),
        *unlit_warnings(setup),
        *_touching_cards(setup),
        *_fall_off(setup),
    ]


def _edges(setup: PlacedSetup) -> list[str]:
    """Return the edges of the backdrop that the camera sees past."""
    if setup.sweep is None:
        return []
    return [f"the camera sees past the {edge} of the sheet" for edge in edges_in_sight(setup.sweep, setup.view)]


def _lamps_in_frame(setup: PlacedSetup) -> list[PlacedLamp]:
    lamps = (lamp for lamp in setup.lamps if not lamp.hidden)
    return [lamp for lamp in lamps if in_frame(lamp.place, lamp.lamp.extent_cm, setup.view)]


def _near_field(lamp: PlacedLamp, setup: PlacedSetup) -> list[str]:
    """Return a warning where a lamp with measured photometry stands nearer than its far field."""
    if lamp.lamp.model.photometry is None:
        return []
    far_cm = FAR_FIELD_SIZES * max(lamp.lamp.extent_cm)
    distance_cm = float(np.linalg.norm(np.subtract(lamp.place.at_cm, setup.hero_cm)))
    if distance_cm >= far_cm:
        return []
    return [
        f"{lamp.name} stands {distance_cm:.0f} cm from what it lights; its photometric file was measured from afar and "
        f"holds from {far_cm:.0f} cm on"
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
    points = setup.subject.surface_points(500)
    squared = ((points - setup.lamps[0].place.at_cm) ** 2).sum(axis=1)
    under = stops(float(squared.max() / squared.min()))
    if under <= STEEPEST_STOPS:
        return []
    return [f"{setup.name}: the key is so near that the subject's far side is {under:.1f} stops under"]
