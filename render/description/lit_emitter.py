"""The emitters of a placed setup with their radiance: its lamps, and the room's ambient light."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from materials.light.spectra import Spectrum
from scenes.lamps.emitter_shape import ROOM, EmitterShape
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.units import metres


@dataclass(frozen=True, eq=False)
class LitEmitter:
    """An emitter with its radiance.

    Parameters
    ----------
    shape
        Geometry and angular distribution, at unit radiance; lengths in m.
    radiance : (351,)
        Undimmed, W/(m2 sr nm).
    dimmer
        0 to 1; 1 for the room.
    lamp
        The lamp it belongs to; None for the room.
    """

    shape: EmitterShape
    radiance: Spectrum
    dimmer: float
    lamp: PlacedLamp | None

    @property
    def name(self) -> str:
        """The name of the lamp, or "room"."""
        return self.lamp.name if self.lamp else "room"

    @property
    def dimmed_radiance(self) -> Spectrum:
        """Radiance times dimmer, (351,) W/(m2 sr nm)."""
        return self.radiance * self.dimmer


def lit_emitters(setup: PlacedSetup, room: Spectrum | None) -> tuple[LitEmitter, ...]:
    """Return an emitter for each lamp of a setup, followed by the room's.

    `room` is the radiance of the room, (351,) W/(m2 sr nm); None for a dark room, which adds no emitter.
    """
    lamps = tuple(lit_emitter(lamp) for lamp in setup.lamps)
    return lamps if room is None else (*lamps, LitEmitter(ROOM, room, 1.0, None))


def lit_emitter(placed: PlacedLamp) -> LitEmitter:
    """Return the emitter of a placed lamp: radiance is flux over etendue."""
    shape = emitter_shape(placed)
    return LitEmitter(shape, placed.lamp.spectrum * placed.lamp.lumens / shape.etendue, placed.dimmer, placed)


def emitter_shape(placed: PlacedLamp) -> EmitterShape:
    """Return the luminous opening of a placed lamp, in m."""
    place = placed.place
    opening = placed.lamp.emitter(np.asarray(place.at_cm), place.facing, upright=place.upright)
    width, height = metres(opening.half)
    return EmitterShape(
        opening.kind, metres(opening.at), opening.axes, (float(width), float(height)), opening.intensity
    )
