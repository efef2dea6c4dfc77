"""The choice of lamps for a setup: those owned, then generic ones where they are too few."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from materials.packaged import packaged_toml
from scenes.arrangement.folder import Folder
from scenes.arrangement.kit_model import Kit
from scenes.arrangement.owned import resolve_lamp
from scenes.lamps.lamp import Lamp

from .setup import SetupLamp


@dataclass(frozen=True)
class LampChoice:
    """The lamp chosen for one of a setup; `shortfall` is a sentence where it is a generic one."""

    wanted: SetupLamp
    lamp: Lamp
    shortfall: str | None


@cache
def generic_lamps() -> tuple[Lamp, ...]:
    """Return the generic lamps that replace lamps not owned."""
    folder = Folder(Path(), "lent_lamps.toml")
    kit = Kit.model_validate(packaged_toml("scenes.lamps", "lent_lamps.toml"))
    return tuple(
        resolve_lamp(lamp.model_dump(exclude_unset=True), folder, ("lamps", i)) for i, lamp in enumerate(kit.lamps)
    )


def choose_lamps(wanted: Sequence[SetupLamp], owned: Sequence[Lamp]) -> tuple[LampChoice, ...]:
    """Return a lamp for each of a setup: those owned, in order, then generic ones, each under a name of its own."""
    free = list(owned or generic_lamps())
    spare: list[Lamp] = []
    taken = {lamp.name for lamp in free}
    choices = []
    for setup_lamp in wanted:
        shortfall = None
        if free:
            lamp = _pick(setup_lamp, free)
            free.remove(lamp)
        else:
            spare = spare or list(generic_lamps())
            generic = _pick(setup_lamp, spare)
            spare.remove(generic)
            lamp = generic.named(_free_name(generic.name, taken))
            taken.add(lamp.name)
            shortfall = (
                f"needs {len(wanted)} lamps, {len(owned)} owned: a generic {lamp.model.kind} is the {setup_lamp.role}"
            )
        choices.append(LampChoice(setup_lamp, lamp, shortfall))
    return tuple(choices)


def _free_name(name: str, taken: set[str]) -> str:
    numbered = (f"{name} {number}" for number in range(2, len(taken) + 3))
    return next(free for free in (name, *numbered) if free not in taken)


def _pick(setup_lamp: SetupLamp, lamps: Sequence[Lamp]) -> Lamp:
    if setup_lamp.pick == "smallest":
        return min(lamps, key=lambda lamp: lamp.extent_cm[0] * lamp.extent_cm[1])
    return lamps[0]
