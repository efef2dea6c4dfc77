"""The whites that light a setup: lamps and room by colour temperature, how strong each is and which part it lights."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from render.description.lit_emitter import lit_emitter
from render.description.scene import Meter
from render.readings.metering import unobstructed_lux
from render.readings.receptors import receptors_of
from scenes.arrangement.arrangement import RoomModel
from scenes.geometry import round_and_rise
from scenes.lamps.lamp import Lamp
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.units import mired, ratio

ABOVE_DEG: Final = 60.0
BELOW_DEG: Final = -5.0
AHEAD_DEG: Final = 20.0
BEHIND_DEG: Final = 110.0


@dataclass(frozen=True)
class WhiteLight:
    """A lamp of a setup or the room's light, white of some colour temperature.

    Parameters
    ----------
    role, name
        "room" of the room.
    lux
        Direct illuminance at the hero, on a receptor that faces it, as dimmed; infinite of a lamp on the sheet, which
        is seen itself.
    part
        What of the picture it lights, in words.
    lamp
        None of the room.
    """

    role: str
    name: str
    kelvin: float
    lux: float
    part: str
    lamp: Lamp | None = None

    @property
    def words(self) -> str:
        """Its role, name and colour temperature: `the fill (desk lamp, 6500 K)`."""
        return (
            f"the room's light ({self.kelvin:.0f} K)"
            if self.lamp is None
            else (f"the {self.role} ({self.name}, {self.kelvin:.0f} K)")
        )

    def mired_above(self, other: WhiteLight) -> float:
        """Return how much warmer than another light it is, in mired; negative where it is bluer."""
        return mired(self.kelvin) - mired(other.kelvin)


def white_lights(setup: PlacedSetup, room: RoomModel) -> list[WhiteLight]:
    """Return the white lights of a setup: the lamp that ratios count from, the other lamps that are on, the room.

    Coloured lamps are left out; where the first is off or coloured, the brightest lamp is the first.
    """
    lux = _facing_lux(setup)
    lamps = [
        WhiteLight(placed.role, placed.name, placed.lamp.cct, lux[i], _part(placed, setup), placed.lamp)
        for i, placed in enumerate(setup.lamps)
        if placed.lamp.cct is not None and lux[i] > 0
    ]
    reference = setup.reference_lamp
    lamps.sort(key=lambda light: (light.name != reference.name, -light.lux))
    ambient = [WhiteLight("room", "room", room.kelvin, room.lux, "the shadows")] if room.lux > 0 else []
    return [*lamps, *ambient]


def _facing_lux(setup: PlacedSetup) -> list[float]:
    """Return the direct illuminance by each lamp as dimmed, lx; of a ratio still to be solved, as the ratio asks."""
    pairs = zip(setup.lamps, receptors_of(setup), strict=False)
    full = [_direct_lux(lamp, receptor) for lamp, receptor in pairs]
    key_lux = full[setup.reference] * setup.reference_lamp.dimmer
    return [
        lux * lamp.dimmer
        if lamp.dimmer
        else 0.0
        if lamp.stops_under_key is None or not lamp.lamp.model.dimmable
        else min(lux, key_lux / ratio(lamp.stops_under_key))
        for lux, lamp in zip(full, setup.lamps, strict=True)
    ]


def _direct_lux(lamp: PlacedLamp, receptor: Meter) -> float:
    """Return the direct illuminance by an undimmed lamp on a receptor, lx; none where the hero lies inside a bulb."""
    if lamp.sheet_over_white is not None:
        return np.inf
    emitter = lit_emitter(lamp)
    try:
        return unobstructed_lux(emitter.shape, receptor, emitter.radiance)
    except ValueError:
        return 0.0


def _part(lamp: PlacedLamp, setup: PlacedSetup) -> str:
    """Return what of the picture a lamp lights, as the camera sees it."""
    if lamp.sheet_over_white is not None:
        return "the backdrop"
    round_deg, rise_deg = round_and_rise(np.subtract(lamp.place.at_cm, setup.hero_cm))
    side = "right" if round_deg > 0 else "left"
    if rise_deg >= ABOVE_DEG:
        return "what faces up"
    if rise_deg <= BELOW_DEG:
        return "the undersides"
    if abs(round_deg) <= AHEAD_DEG:
        return "the front"
    if abs(round_deg) < BEHIND_DEG:
        return f"the {side} side"
    return f"the {side} edges" + (" and what it lights of the sheet" if setup.sweep else "")
