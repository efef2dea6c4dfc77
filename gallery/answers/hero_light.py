"""The light at the hero that the questions of `spruelight ask` are answered from.

Light is the illuminance that a meter reads which is held before the hero and faces the camera. Lamp images give it
without a render.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gallery.frames.shots import AS_BUILT, shots_of
from render.images.tracing import Tracing
from render.shot import Shot, solve_dimmers
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.setups.place import Place
from scenes.setups.placed import PlacedLamp


@dataclass(frozen=True, eq=False)
class HeroLight:
    """A shot with its dimmers solved, and the illuminance at the hero by emitter, undimmed: in all, and direct alone.

    Both are (emitters,) in lux: the setup's lamps in their order, then the room's.
    """

    shot: Shot
    full_lux: NDArray[np.float64]
    direct_lux: NDArray[np.float64]

    @property
    def lamps(self) -> tuple[PlacedLamp, ...]:
        """The setup's lamps."""
        return self.shot.setup.lamps

    @property
    def lux(self) -> float:
        """Illuminance by all lamps as they are dimmed, and by the room."""
        return float(self.full_lux @ [light.dimmer for light in self.shot.lit_emitters])

    @property
    def room_lux(self) -> float:
        """Illuminance by the room alone."""
        return float(
            sum(lux for lux, light in zip(self.full_lux, self.shot.lit_emitters, strict=True) if light.lamp is None)
        )

    def distance_cm(self, lamp: PlacedLamp) -> float:
        """Return a lamp's distance from the hero's middle."""
        return float(np.linalg.norm(np.subtract(lamp.place.at_cm, self.shot.setup.hero_cm)))

    def moved(self, i: int, distance_cm: float) -> Shot:
        """Return the shot with lamp `i` moved along its line from the hero to a distance."""
        setup = self.shot.setup
        lamp, hero_cm = setup.lamps[i], np.asarray(setup.hero_cm)
        along = np.subtract(lamp.place.at_cm, hero_cm) * distance_cm / self.distance_cm(lamp)
        x, y, z = (float(v) for v in hero_cm + along)
        ax, ay, az = (float(v) for v in hero_cm + along + lamp.place.facing)
        place = Place((x, y, z), (ax, ay, az))
        lamps = (*setup.lamps[:i], replace(lamp, place=place), *setup.lamps[i + 1 :])
        return replace(self.shot, setup=replace(setup, lamps=lamps))


def hero_light(arrangement: ResolvedArrangement, setup: str, tracing: Tracing) -> HeroLight:
    """Return a setup's light at the hero, of its shot at the usual size: what was measured for a sheet is reused."""
    (shot,) = shots_of(arrangement, [setup], [AS_BUILT], None)
    return measure(shot, tracing)


def measure(shot: Shot, tracing: Tracing) -> HeroLight:
    """Return a shot's light at the hero."""
    setup, lux = solve_dimmers(shot, tracing)
    return HeroLight(replace(shot, setup=setup), lux.sum(axis=1), lux[:, 0])
