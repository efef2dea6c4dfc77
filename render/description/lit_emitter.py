"""What shines on a placed setup, each with its radiance: its lamps, and the room."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from materials.light.spectra import Spectrum
from scenes.lamps.emitter_shape import ROOM, EmitterShape
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.units import metres


@dataclass(frozen=True, eq=False)
class LitEmitter:
    """An emitter in SI with its radiance.

    Parameters
    ----------
    emitter
        Where it shines from, of unit radiance.
    radiance : (351,)
        Undimmed, W/(m2 sr nm).
    dimmer
        0 to 1; the room's is 1.
    lamp
        The lamp that it is of; None of the room.
    """

    emitter: EmitterShape
    radiance: Spectrum
    dimmer: float
    lamp: PlacedLamp | None

    @property
    def name(self) -> str:
        """What its owner calls it."""
        return self.lamp.name if self.lamp else "room"

    @property
    def dimmed_radiance(self) -> Spectrum:
        """Its radiance as it is dimmed, (351,)."""
        return self.radiance * self.dimmer


def lit_emitters(setup: PlacedSetup, room: Spectrum | None) -> tuple[LitEmitter, ...]:
    """Return the lamps of a setup, then the room where it gives light, by its radiance."""
    lamps = tuple(lit_lamp(lamp) for lamp in setup.lamps)
    return lamps if room is None else (*lamps, LitEmitter(ROOM, room, 1.0, None))


def lit_lamp(placed: PlacedLamp) -> LitEmitter:
    """Return what shines of a placed lamp."""
    emitter = emitter_of(placed)
    return LitEmitter(emitter, placed.lamp.spectrum * placed.lamp.lumens / emitter.etendue, placed.dimmer, placed)


def emitter_of(placed: PlacedLamp) -> EmitterShape:
    """Return the luminous opening of a placed lamp, in SI."""
    opening = placed.lamp.emitter(np.asarray(placed.place.at_cm), placed.place.facing)
    width, height = metres(opening.half)
    return EmitterShape(
        opening.kind, metres(opening.at), opening.axes, (float(width), float(height)), opening.intensity
    )
