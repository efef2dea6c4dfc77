"""Marks of the model: its footprint, its outline from above, its front, the point under its hero."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from gallery.diagram.measures import reading_of
from materials.arrays import Vector
from scenes.geometry import direction_round
from scenes.lengths import Reading
from scenes.setups.placed import PlacedSetup
from scenes.setups.placement_words.stage import turn_words
from scenes.subject.subject import Subject

from .footprint import footprint_of
from .mark import Line, Mark, Stroke, needed_for
from .words import height_words, length_words

FRONT_CM: Final = 1.0
"""How far the arrow of the front reaches beyond the model."""
LINE_CM: Final = 4.0
"""Of the camera's line, in front of the model."""
APART_CM: Final = 0.5
"""A hero nearer than this to the line over the centre mark has no point of its own."""


def model_marks(setup: PlacedSetup) -> Iterator[Mark]:
    """Yield the marks of a setup's model; the centre mark is the first."""
    centre = np.zeros(2)
    if setup.subject is None:
        words = ("what lamps are measured from",)
        yield Mark("centre mark", words, centre, has_cross=True, needed_cm=needed_for(centre))
        return
    hero = np.array(setup.hero_cm)
    reading, is_over_centre = reading_of(setup), np.hypot(*hero[:2]) < APART_CM
    straight_above = f"straight above, {height_words(hero[2], reading)}"
    yield from _outlines(setup.subject, (f"hero {straight_above}",) if is_over_centre else (), reading)
    yield _front(setup, setup.subject)
    if not is_over_centre:
        yield Mark("hero", (straight_above,), hero[:2], has_cross=True, needed_cm=needed_for(hero[:2]))


def _outlines(subject: Subject, above: tuple[str, ...], reading: Reading) -> Iterator[Mark]:
    """Yield the centre mark, with words on what is straight above it, and the outline from above if it is another."""
    footprint = footprint_of(subject)
    if footprint.is_one:
        yield _centre(("the model stands on the thick line", *above), subject, footprint.above)
        return
    yield _centre(("under the middle of the model", *above), subject, footprint.touching)
    nearest = min(footprint.above, key=lambda outline: float(outline[:, 1].min()))
    tip = nearest[nearest[:, 1].argmin()]
    lines = tuple(Line(outline, Stroke.above) for outline in footprint.above)
    words = (
        f"its nearest point, {length_words(-tip[1], reading)} in front of the centre mark",
        "what touches the table stands on the thick lines",
    )
    yield Mark("outline from above", words, tip, lines, needed_cm=needed_for(tip, *footprint.above))


def _centre(words: tuple[str, ...], subject: Subject, outlines: tuple[Vector, ...]) -> Mark:
    """Return the centre mark with a model's outlines; it needs some of the camera's line too."""
    centre, front_cm = np.zeros(2), float(subject.bounds_cm[0, 1])
    before = np.array([centre, [0.0, front_cm - LINE_CM]])
    lines = tuple(Line(outline, Stroke.touches) for outline in outlines)
    needed = needed_for(centre, *outlines, before)
    return Mark("centre mark", words, centre, lines, has_cross=True, needed_cm=needed)


def _front(setup: PlacedSetup, subject: Subject) -> Mark:
    """Return the arrow from the centre mark along the model's front."""
    ahead = direction_round(setup.facing_deg, 0.0)[:2]
    reach = max(float((part.vertices_cm[:, :2] @ ahead).max()) for part in subject.parts) + FRONT_CM
    arrow = Line(np.array([np.zeros(2), reach * ahead]), Stroke.arrow)
    return Mark("front of the model", (f"{turn_words(setup.facing_deg)}, as in the picture",), reach * ahead, (arrow,))
