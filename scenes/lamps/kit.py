"""Which of the lamps owned a setup uses, and what is lent where they are too few."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from pydantic import Field, model_validator

from materials.packaged import packaged_toml
from scenes.arrangement.value_types import Model
from scenes.setups.setup import SetupLamp

from .lamp import LampModel, names_differ


@dataclass(frozen=True)
class LampChoice:
    """The lamp taken for one that a setup wants; `lack` says in words that it is only lent."""

    wanted: SetupLamp
    lamp: LampModel
    lack: str | None


class Kit(Model):
    """A file of lamps that are owned."""

    lamps: tuple[LampModel, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _lamp_names_differ(self) -> Kit:
        names_differ(self.lamps)
        return self


@cache
def generic_lamps() -> tuple[LampModel, ...]:
    """Return the generic lamps of the trade that stand in for lamps not owned."""
    return Kit.model_validate(packaged_toml("scenes.lamps", "kit.toml")).lamps


def choose_lamps(wanted: Sequence[SetupLamp], owned: Sequence[LampModel]) -> tuple[LampChoice, ...]:
    """Return a lamp for each that a setup wants: from those owned, in order, then lent, each of its own name."""
    free = list(owned or generic_lamps())
    lent: list[LampModel] = []
    taken = {lamp.name for lamp in free}
    choices = []
    for want in wanted:
        lack = None
        if free:
            lamp = _pick(want, free)
            free.remove(lamp)
        else:
            lent = lent or list(generic_lamps())
            generic = _pick(want, lent)
            lent.remove(generic)
            lamp = generic.model_copy(update={"name": _own_name(generic.name, taken)})
            taken.add(lamp.name)
            lack = f"needs {len(wanted)} lamps, {len(owned)} owned: a generic {lamp.kind} is the {want.role}"
        choices.append(LampChoice(want, lamp, lack))
    return tuple(choices)


def _own_name(name: str, taken: set[str]) -> str:
    numbered = (f"{name} {number}" for number in range(2, len(taken) + 3))
    return next(free for free in (name, *numbered) if free not in taken)


def _pick(want: SetupLamp, lamps: Sequence[LampModel]) -> LampModel:
    if want.pick == "smallest":
        return min(lamps, key=lambda lamp: lamp.extent_cm[0] * lamp.extent_cm[1])
    return lamps[0]
