"""Lights of different colour temperature in one setup: how far apart, which part shows it, what mends it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from scenes.arrangement.arrangement import RoomModel
from scenes.lamps.gels import VISIBLE_MIRED
from scenes.setups.placed import PlacedSetup
from scenes.units import ratio

from .colour_remedies import Remedy, remedies
from .white_lights import WhiteLight, white_lights

FAINT_STOPS: Final = 5.0
"""So far under the main light even what another lights alone is nearly black."""
MOST_REMEDIES: Final = 2
"""That are named."""


@dataclass(frozen=True)
class Mismatch:
    """A light of a setup that differs visibly in colour temperature from its main light."""

    setup: str
    main: WhiteLight
    other: WhiteLight

    @property
    def mired(self) -> float:
        """How much warmer the other is; negative where it is bluer."""
        return self.other.mired_above(self.main)

    @property
    def remedies(self) -> list[Remedy]:
        """What brings them together, the best first."""
        return remedies(self.main, self.other)

    @property
    def tint(self) -> str:
        """What the other turns its part of the picture."""
        return "orange" if self.mired > 0 else "blue"

    @property
    def difference_words(self) -> str:
        """How far apart the two are, and where it shows."""
        warmer = "warmer" if self.mired > 0 else "bluer"
        return (
            f"{self.other.words} is {abs(self.mired):.0f} mired {warmer} than {self.main.words} and turns "
            f"{self.other.part} {self.tint} beside what the {self.main.role} lights"
        )

    @property
    def substitute_words(self) -> str:
        """What does without the other."""
        if self.other.lamp is None:
            return ""
        return f"; or {'a white card in place of' if self.other.role == 'fill' else 'do without'} {self.other.name}"


def mismatches(setup: PlacedSetup, room: RoomModel) -> list[Mismatch]:
    """Return each light of a setup that differs visibly from its first, and is strong enough to show it."""
    lights = white_lights(setup, room)
    return [
        Mismatch(setup.name, lights[0], other)
        for other in lights[1:]
        if abs(other.mired_above(lights[0])) >= VISIBLE_MIRED and other.lux * ratio(FAINT_STOPS) > lights[0].lux
    ]


def mixed_light_lines(found: Iterable[Mismatch]) -> list[str]:
    """Return a sentence for each mismatch of a setup, with what mends it."""
    return [
        f"{one.setup}: {one.difference_words}; {_remedy_words(one.remedies)}{one.substitute_words}" for one in found
    ]


def mixed_light_summary(found: Iterable[Mismatch]) -> list[str]:
    """Return a sentence for each two lights that differ in any of several setups, and in which."""
    pairs: dict[frozenset[str], list[Mismatch]] = {}
    for one in found:
        pairs.setdefault(frozenset((one.main.name, one.other.name)), []).append(one)
    return [_pair_sentence(same) for same in pairs.values()]


def mixed_light_facts(found: Iterable[Mismatch]) -> list[dict[str, Any]]:
    """Return mismatches as plain data; `mired` is positive where the lamp is the warmer one."""
    return [
        {
            "role": one.other.role,
            "name": one.other.name,
            "beside": one.main.name,
            "mired": round(one.mired, 1),
            "part": one.other.part,
            "remedies": [_remedy_facts(remedy) for remedy in one.remedies],
        }
        for one in found
    ]


def _remedy_facts(remedy: Remedy) -> dict[str, Any]:
    left, loss = round(remedy.mired_left, 1), round(remedy.loss_stops, 2)
    return {"action": remedy.action, "mired_left": left, "loss_stops": loss}


def _pair_sentence(same: Sequence[Mismatch]) -> str:
    first = same[0]
    one, other = (
        f"{'room light' if light.lamp is None else light.name} ({light.kelvin:.0f} K)"
        for light in (first.main, first.other)
    )
    setups = ", ".join(dict.fromkeys(one.setup for one in same))
    return (
        f"{one} and {other} are {abs(first.mired):.0f} mired apart, and {VISIBLE_MIRED:.0f} show: in {setups} each "
        f"colours its own part of the picture; {_remedy_words(first.remedies)}"
    )


def _remedy_words(found: Sequence[Remedy]) -> str:
    return "best: " + "; or ".join(remedy.words for remedy in found[:MOST_REMEDIES])
