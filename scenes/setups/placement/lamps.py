"""The lamps of a setup at their places: who takes which role, and where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from scenes.lamps.lamp import Lamp
from scenes.setups.lamp_choice import LampChoice, assignments, generic_lamps
from scenes.setups.placed import PlacedLamp
from scenes.setups.setup import SetupLamp

from .bodies import bodies_of
from .collisions import Body, lamp_body
from .frustum import margin_outside
from .hanging import hangs
from .lacks import lamp_lack
from .lattice import Shape
from .search import Found, find_place
from .surroundings import Surroundings

ROLES: Final = ("key", "fill", "rim", "backdrop")
"""In the order in which they are placed; others follow."""


@dataclass(frozen=True)
class PlacedLamps:
    """Lamps at their places in the setup's order, what they lack, and the sum of their angles off the wanted places.

    `misplaced` are those lacks that say where a lamp does not stand and why.
    """

    lamps: tuple[PlacedLamp, ...]
    lacks: tuple[str, ...]
    off_deg: float
    misplaced: tuple[str, ...]


def place_lamps(wanted: Sequence[SetupLamp], owned: Sequence[Lamp], around: Surroundings) -> PlacedLamps:
    """Return the lamps of a setup at their places: of the assignments in order, the first without a lack.

    Without one, that with the fewest lacks, then the smallest sum of angles. A lamp that fits nowhere is left out;
    where none fits, the smallest generic one is tried. `around` is what is there before any lamp.
    """

    @cache
    def find(setup_lamp: SetupLamp, lamp: Lamp, others: tuple[Body, ...]) -> Found:
        own = replace(
            around,
            lamps=others,
            clearance_cm=setup_lamp.clearance_cm,
            nearest_cm=lamp.model.nearest_cm or 0.0,
            hidden=setup_lamp.hidden,
        )
        return find_place(setup_lamp, shape_of(lamp, setup_lamp), own)

    def attempt(choices: tuple[LampChoice, ...]) -> PlacedLamps:
        found: dict[int, Found] = {}
        bodies: tuple[Body, ...] = ()
        for i in sorted(range(len(choices)), key=lambda i: _rank(choices[i].wanted.role)):
            found[i] = find(choices[i].wanted, choices[i].lamp, bodies)
            place = found[i].place
            bodies = bodies if place is None else (*bodies, lamp_body(choices[i].lamp, place))
        return _gathered(choices, [found[i] for i in range(len(choices))], around)

    best: PlacedLamps | None = None
    for choices in assignments(wanted, owned):
        tried = attempt(choices)
        if not tried.lacks:
            return tried
        if best is None or _badness(tried) < _badness(best):
            best = tried
    if best is not None and not best.lamps:
        smallest = min(generic_lamps(), key=lambda lamp: lamp.extent_cm[0] * lamp.extent_cm[1])
        instead = f"has no room for the lamps owned: a generic {smallest.model.kind} is the {wanted[0].role}"
        tried = attempt((LampChoice(wanted[0], smallest, (*best.misplaced[:1], instead)),))
        best = tried if tried.lamps else best
    assert best is not None
    return best


def shape_of(lamp: Lamp, wanted: SetupLamp) -> Shape:
    """Return the body of a lamp, its longer side level or upright as its setup prefers."""
    if len(set(lamp.extent_cm)) == 1:
        return Shape(((False, lamp.extent_cm),), lamp.model.kind == "bulb")
    return Shape(tuple((turned, lamp.extent_turned(upright=turned)) for turned in (wanted.upright, not wanted.upright)))


def _gathered(choices: Sequence[LampChoice], found: Sequence[Found], around: Surroundings) -> PlacedLamps:
    lamps: list[PlacedLamp] = []
    lacks: list[str] = []
    misplaced: list[str] = []
    off_deg = 0.0
    for choice, place in zip(choices, found, strict=True):
        lacks += choice.shortfalls
        if place.is_beyond(choice.wanted):
            misplaced.append(lamp_lack(choice.wanted, choice.lamp, place, around.stage))
            lacks.append(misplaced[-1])
        off_deg += place.off_deg
        if place.place is not None:
            lamps.append(_placed_lamp(choice, place, around))
    return PlacedLamps(tuple(lamps), tuple(lacks), off_deg, tuple(misplaced))


def _placed_lamp(choice: LampChoice, found: Found, around: Surroundings) -> PlacedLamp:
    wanted, lamp, place = choice.wanted, choice.lamp, found.place
    assert place is not None
    in_frame = float(margin_outside(bodies_of(lamp_body(lamp, place)), around.stage.view)[0]) < 0
    return PlacedLamp(
        role=wanted.role,
        lamp=lamp,
        place=place,
        dimmer=(wanted.dimmer if lamp.model.dimmable else 1.0) * lamp.model.dimmer,
        stops_under_key=wanted.stops_under_key,
        hidden=in_frame,
        sheet_over_white=wanted.sheet_over_white,
        hangs=hangs(place, around.stage),
    )


def _rank(role: str) -> int:
    return ROLES.index(role) if role in ROLES else len(ROLES)


def _badness(tried: PlacedLamps) -> tuple[int, float]:
    return len(tried.lacks), tried.off_deg
