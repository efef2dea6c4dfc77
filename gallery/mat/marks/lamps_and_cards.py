"""Marks of lamps and cards: the point under a lamp's centre, the lower edge of a card."""

from __future__ import annotations

from typing import Final

import numpy as np

from gallery.diagram.items import Item
from gallery.diagram.measures import reading_of
from gallery.diagram.views.projection import Projection
from materials.arrays import Vector
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.geometry import axes_facing, round_and_rise
from scenes.lengths import Reading
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.setups.placement_words.card import FLAT_DEG, board_words, lean_words
from scenes.setups.placement_words.lamp import SAME_POINT_CM, lamp_facts
from scenes.setups.placement_words.tape import tilt_words

from .mark import Line, Mark, Stroke, needed_for
from .words import bearing_words, height_words, length_words

FROM_ABOVE: Final = Projection("above")
ARROW_CM: Final = 4.0
"""Length of the arrow the way that a lamp faces."""
ALONG_CM: Final = 10.0
"""Of the lower edge of a card, what is enough to lay it along."""
OVER_HERO_CM: Final = 0.5
"""A lamp nearer than this to straight over the hero has no direction from above."""


def lamp_mark(item: Item, lamp: PlacedLamp, setup: PlacedSetup) -> Mark:
    """Return the point under a lamp's centre, its outline from above, and the string from under the hero."""
    foot, hero = np.array(lamp.place.at_cm[:2]), np.array(setup.hero_cm[:2])
    facts = lamp_facts(lamp, setup)
    tilt = [] if facts["tilt_deg"] is None else [tilt_words(facts["tilt_deg"])]
    side = [f"longer side {facts['long_side']}"] if facts["long_side"] else []
    end = "the centre mark" if setup.subject is None else "the hero"
    words = (
        "hangs from an arm" if lamp.hangs else "",
        ", ".join([f"lamp centre {height_words(lamp.place.at_cm[2], reading_of(setup))}", *tilt, *side]),
        _string(foot - hero, facts["string_cm"], end, reading_of(setup)),
    )
    outlines = (_closed(outline[:, :2], Stroke.above) for outline in item.outlines(FROM_ABOVE))
    lines = (*outlines, *_facing(lamp, setup))
    needed = needed_for(foot, np.array([hero, foot]))
    return Mark(f"{item.mark} {lamp.role}", tuple(filter(None, words)), foot, lines, hero, True, needed)


def card_mark(item: Item, card: PlacedCard, reading: Reading) -> Mark:
    """Return the lower edge of a card at its true length, or a flat card's outline."""
    name = f"card {item.mark} ({card.name})"
    outline = FROM_ABOVE.flat(item.outlines(FROM_ABOVE)[0])
    lean_deg = round_and_rise(card.facing)[1]
    if abs(lean_deg) > FLAT_DEG:
        where = f"flat, {height_words(card.at_cm[2], reading)}"
        middle, whole = outline.mean(axis=0), _closed(outline, Stroke.touches)
        return Mark(name, (where, board_words(card)), middle, (whole,), np.zeros(2), True, needed_for(middle))
    edge = np.asarray(card.at_cm) - axes_facing(card.facing)[:, 1] * card.size_cm[1] / 2
    words = (f"middle of its lower edge, {height_words(edge[2], reading)}", lean_words(lean_deg), board_words(card))
    ahead = np.array(card.facing[:2]) / np.hypot(*card.facing[:2])
    arrow = Line(np.array([edge[:2], edge[:2] + ARROW_CM * ahead]), Stroke.arrow)
    lines = (Line(outline[:2], Stroke.touches), Line(np.roll(outline, -1, axis=0), Stroke.above), arrow)
    return Mark(name, words, edge[:2], lines, np.zeros(2), True, needed_for(edge[:2], _middle(outline[:2])))


def _middle(ends_cm: Vector) -> Vector:
    """Return the ends (2, 2) of the middle part of a straight line, which is enough to lay a card along."""
    middle, half = ends_cm.mean(axis=0), np.diff(ends_cm, axis=0)[0] / 2
    half *= min(1.0, ALONG_CM / 2 / float(np.linalg.norm(half)))
    return np.array([middle - half, middle + half])


def _string(way_cm: Vector, string_cm: float, end: str, reading: Reading) -> str:
    """Return the length of the string to its end, the hero, and its direction from the point under that."""
    string = length_words(string_cm, reading)
    if np.hypot(*way_cm) < OVER_HERO_CM:
        return f"straight over {end}, {string} along a string"
    return f"{bearing_words(round_and_rise((*way_cm, 0.0))[0], end)}; string to {end} {string}"


def _facing(lamp: PlacedLamp, setup: PlacedSetup) -> tuple[Line, ...]:
    """Return an arrow the way that a lamp faces, where that is not along its string."""
    ahead = lamp.place.facing[:2]
    at_hero = np.linalg.norm(np.subtract(lamp.place.aim_cm, setup.hero_cm)) < SAME_POINT_CM
    is_bulb = lamp_facts(lamp, setup)["tilt_deg"] is None
    if at_hero or is_bulb or np.hypot(*ahead) < 1e-3:
        return ()
    foot = np.array(lamp.place.at_cm[:2])
    return (Line(np.array([foot, foot + ARROW_CM * ahead / np.hypot(*ahead)]), Stroke.arrow),)


def _closed(outline: Vector, stroke: Stroke) -> Line:
    return Line(np.vstack([outline, outline[:1]]), stroke)
