"""The choice of lamps for a setup: those owned, then generic ones where they are too few."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from materials.light.led import WHITE_LED_RANGE
from materials.packaged import packaged_toml
from scenes.arrangement.folder import Folder
from scenes.arrangement.kit_model import Kit
from scenes.arrangement.owned import resolve_lamp
from scenes.lamps.lamp import Lamp

from .setup import SetupLamp

MOST_TRIED: Final = 3
"""Lamps that are tried in a role, and roles whose lamps are exchanged."""


@dataclass(frozen=True)
class LampChoice:
    """The lamp chosen for one of a setup; `shortfalls` are sentences on what it falls short of."""

    wanted: SetupLamp
    lamp: Lamp
    shortfalls: tuple[str, ...]


@cache
def generic_lamps() -> tuple[Lamp, ...]:
    """Return the generic lamps that replace lamps not owned."""
    folder = Folder(Path(), "lent_lamps.toml")
    kit = Kit.model_validate(packaged_toml("scenes.lamps", "lent_lamps.toml"))
    return tuple(
        resolve_lamp(lamp.model_dump(exclude_unset=True), folder, ("lamps", i)) for i, lamp in enumerate(kit.lamps)
    )


def assignments(wanted: Sequence[SetupLamp], owned: Sequence[Lamp]) -> Iterator[tuple[LampChoice, ...]]:
    """Yield lamps for those of a setup, the preferred assignment first: each of those owned once, then generic ones.

    The key chooses first, then what wants the smallest lamp; each among the few that suit it best and the smallest.
    """
    order = sorted(range(len(wanted)), key=lambda i: (wanted[i].role != "key", wanted[i].pick != "smallest"))
    lamps = owned or generic_lamps()
    chosen_for, left = order[: len(lamps)], order[len(lamps) :]
    lent = _lent([wanted[i] for i in left], lamps)
    for chosen in _permutations([wanted[i] for i in chosen_for], lamps):
        by_index = dict(zip(order, (*chosen, *lent), strict=True))
        yield tuple(
            LampChoice(
                lamp,
                by_index[i],
                (
                    *([_lending(lamp, by_index[i], len(wanted), len(owned))] if i in left else []),
                    *_undirected(lamp, by_index[i]),
                ),
            )
            for i, lamp in enumerate(wanted)
        )


def _permutations(wanted: Sequence[SetupLamp], lamps: Sequence[Lamp]) -> Iterator[tuple[Lamp, ...]]:
    """Yield a lamp for each wanted one; beyond `MOST_TRIED` of them, each takes the one that suits it best."""
    if not wanted:
        yield ()
        return
    suiting = _by_preference(wanted[0], lamps)
    for lamp in _tried(suiting) if len(wanted) <= MOST_TRIED else suiting[:1]:
        for rest in _permutations(wanted[1:], [other for other in lamps if other is not lamp]):
            yield (lamp, *rest)


def _tried(suiting: Sequence[Lamp]) -> list[Lamp]:
    """Return `MOST_TRIED` of the lamps for a role: those that suit it best, then the smallest of the others."""
    best, others = list(suiting[: MOST_TRIED - 1]), suiting[MOST_TRIED - 1 :]
    return best + sorted(others, key=_area_cm2)[:1]


def _area_cm2(lamp: Lamp) -> float:
    return lamp.extent_cm[0] * lamp.extent_cm[1]


def _lent(wanted: Sequence[SetupLamp], taken: Sequence[Lamp]) -> list[Lamp]:
    """Return generic lamps for those that are not owned, each under its own name, of the first owned's white."""
    names, spare, lent = {lamp.name for lamp in taken}, list[Lamp](), []
    for setup_lamp in wanted:
        spare = spare or list(generic_lamps())
        generic = _by_preference(setup_lamp, spare)[0]
        spare.remove(generic)
        lent.append(_of_white(generic, taken[0]).named(_free_name(generic.name, names)))
        names.add(lent[-1].name)
    return lent


def _of_white(generic: Lamp, owned: Lamp) -> Lamp:
    """Return a generic lamp set to the colour temperature of one that is owned, as far as LEDs have it."""
    if owned.cct is None or generic.cct is None or round(owned.cct) == round(generic.cct):
        return generic
    warmest, coolest = WHITE_LED_RANGE
    kelvin = float(round(min(max(owned.cct, warmest), coolest)))
    low, high = generic.model.kelvin_range or (kelvin, kelvin)
    colour = {"kelvin": kelvin} if low <= kelvin <= high else {"kelvin": kelvin, "spectrum": "led"}
    return resolve_lamp({**generic.stated, **colour}, generic.folder, ())


def _lending(wanted: SetupLamp, lamp: Lamp, needed: int, owned: int) -> str:
    return f"needs {needed} lamps, {owned} owned: a generic {lamp.model.kind} of {lamp.cct:.0f} K is the {wanted.role}"


def _undirected(wanted: SetupLamp, lamp: Lamp) -> list[str]:
    if not (wanted.directed and lamp.model.kind == "bulb"):
        return []
    return [f"wants a {wanted.role} that shines one way: {lamp.name} lights the sheet too; put a black card between"]


def _free_name(name: str, taken: set[str]) -> str:
    numbered = (f"{name} {number}" for number in range(2, len(taken) + 3))
    return next(free for free in (name, *numbered) if free not in taken)


def _by_preference(wanted: SetupLamp, lamps: Sequence[Lamp]) -> list[Lamp]:
    """Return lamps in the order in which one of a setup would take them."""
    if wanted.pick == "smallest":
        return sorted(lamps, key=_area_cm2)
    return list(lamps)
