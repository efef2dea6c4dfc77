"""The scenes in which kernel and oracle are compared, by name."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from materials.surface.finish import Finish
from render.description.scene import Geometry
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import board, meter, panel
from tests.support.still_life import (
    BACK_IN_FRAME,
    BEHIND,
    COPPER,
    FINISHES,
    IN_FRAME,
    LAMPS,
    OVERHEAD,
    SAND,
    TEAL,
    card_box,
    still_life,
)

ALL_LAMPS = "all lit at once"
AWKWARD = {
    "panel straight overhead": OVERHEAD,
    "panel behind the subject": BEHIND,
    "panel in frame, its face seen": IN_FRAME,
    "panel in frame, its back seen": BACK_IN_FRAME,
}
COATED = {
    "copper under satin": Finish.metal(COPPER, 0.2).under_topcoat(27),
    "metallic paint": Finish.flake_paint(TEAL, 50, 0.8, 0.35),
}
SATIN = FINISHES["satin plastic"]
SAMPLES = 512
MORE_SAMPLES = {
    **{f"room, {finish}": 1024 for finish in FINISHES},
    "disc, near-smooth metal": 1024,
    "panel behind the subject": 1536,
    "panel in frame, its face seen": 1536,
    "panel in frame, its back seen": 2048,
}
"""Where more are needed to know the picture as well."""


@dataclass(frozen=True)
class Case:
    """A picture of the oracle: all lamps lit at once, and the samples of a pixel in all its batches together.

    Cases of different `number` share no seeds.
    """

    geometry: Geometry
    lamps: tuple[EmitterShape, ...]
    number: int
    samples: int = SAMPLES


@cache
def cases() -> dict[str, Case]:
    """Return every case by its name."""
    return {**_kinds_and_finishes(), **_awkward(), **_coated(), **_sheets()}


def _kinds_and_finishes() -> dict[str, Case]:
    lit = {**{kind: (lamp,) for kind, lamp in LAMPS.items()}, ALL_LAMPS: tuple(LAMPS.values())}
    found: dict[str, Case] = {}
    for finish, of in FINISHES.items():
        geometry = still_life(of)
        for kind, lamps in lit.items():
            name = f"{kind}, {finish}"
            found[name] = Case(geometry, lamps, len(found), MORE_SAMPLES.get(name, SAMPLES))
    return found


def _awkward() -> dict[str, Case]:
    geometry = still_life(SATIN)
    found = {
        name: Case(geometry, (lamp,), 30 + i, MORE_SAMPLES.get(name, SAMPLES))
        for i, (name, lamp) in enumerate(AWKWARD.items())
    }
    inside = panel((0.05, 0.04, 0.20), (-0.05, -0.04, -0.20), 0.08, 0.06)
    return {
        **found,
        "panel in a box of white cards": Case(still_life(SATIN, *card_box()), (inside,), 40, 1024),
        "panel straight overhead, for errors made on purpose": Case(geometry, (OVERHEAD,), 41),
        "panel overhead, fewer samples of backdrop": Case(still_life(SATIN, under="backdrop"), (OVERHEAD,), 42),
        "back in frame, for a lamp whose back shines": Case(geometry, (BACK_IN_FRAME,), 50),
        "face in frame, for a lamp counted twice": Case(geometry, (IN_FRAME,), 50),
    }


def _coated() -> dict[str, Case]:
    lamps = (LAMPS["panel"], LAMPS["bulb"])
    return {name: Case(still_life(finish), lamps, 900 + i) for i, (name, finish) in enumerate(COATED.items())}


def _sheets() -> dict[str, Case]:
    behind_it = panel((-0.4, -0.15, 0.45), (1.0, 0.3, -1.0), 0.3, 0.3)
    geometry = under_a_sheet(Finish.diffuser(0.4 * SAND, 0.6 * TEAL))
    return {"panel behind a coloured diffuser": Case(geometry, (behind_it,), 60, 8192)}


def under_a_sheet(sheet: Finish) -> Geometry:
    """Return the still life with a sheet that stands between it and a lamp, and that the camera sees from behind."""
    between = meter((-0.13, -0.05, 0.15), (-1.0, -0.3, 0.9), 0.2, 0.2)
    return still_life(SATIN, board(between, sheet), height_px=48, width_px=64)
